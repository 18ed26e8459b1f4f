"""What lies ready beside every worksheet: where it starts, the gear, what was learned."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy.orm import Session
from wtforms import Form, SelectField
from wtforms.validators import ValidationError

from ..brewing import bounds
from ..brewing.calibration import Calibration, Retained
from ..brewing.cup import Cup
from ..brewing.extraction import FORMULAS
from ..brewing.scaling import brew_water_that_fits
from ..brews.readings import Learned, learned
from ..fields import DurationField, NumberField, PickField, WordField
from ..models import Settings
from ..settings.queries import settings
from . import queries
from .start import Start, start_from

USUAL_TEMP_C = 93.0
USUAL_STEEP_S = 120
MODELLED = tuple(kind for kind, formula in FORMULAS.items() if formula != "none")


@dataclass(frozen=True)
class Desk:
    """`args` is the address, `usual` the brewer and grinder of the newest brew."""

    session: Session
    args: Mapping[str, str]
    start: Start
    house: Settings
    learned: Learned
    brewers: Mapping[int, Any]
    grinders: list[tuple[int, str]]
    usual: tuple[int | None, int | None]


def open_desk(session: Session, args: Mapping[str, str]) -> Desk:
    start = start_from(session, args)
    brewers = queries.brewers(session, start.values.get("brewer_id"))
    return Desk(
        session,
        args,
        start,
        settings(session),
        learned(session),
        {row.id: row for row in brewers},
        queries.grinders(session, start.values.get("grinder_id")),
        queries.usual_gear(session),
    )


def optional(rows: Iterable[tuple[int, str]]) -> dict[Any, str]:
    """Rows to pick from, or none of them."""
    return {"": "–", **dict(rows)}


class SheetForm(Form):
    """A worksheet's fields: what they start with, and what can be picked."""

    @classmethod
    def begin(cls, desk: Desk) -> dict[str, Any]:
        return dict(desk.start.values)

    def offer(self, desk: Desk) -> None:
        """Fill the lists to pick from."""


class BrewerForm(SheetForm):
    """One of the household's brewers, or any of a kind."""

    brewer = SelectField("Brewer", validate_choice=False)

    @classmethod
    def begin(cls, desk: Desk) -> dict[str, Any]:
        values = super().begin(desk)
        own = values.get("brewer_id") or desk.usual[0]
        return values | {"brewer": str(own) if own in desk.brewers else MODELLED[0]}

    def offer(self, desk: Desk) -> None:
        super().offer(desk)
        own = {str(row.id): f"{row.name} ({row.kind})" for row in desk.brewers.values()}
        self.brewer.choices = own | {kind: f"Any {kind} brewer" for kind in MODELLED}

    def validate_brewer(self, field: SelectField) -> None:
        if field.data not in {choice[0] for choice in field.iter_choices()}:
            raise ValidationError("Please choose one from the list.")


class HowForm(BrewerForm):
    """How a brew is made, as far as the estimate asks."""

    grinder_id = PickField("Grinder")
    grind = WordField("Grind", bounds.GRINDS, default="medium")
    water_temp_c = NumberField(
        "Water temperature", bounds=bounds.WATER_TEMP_C, unit="°C", default=USUAL_TEMP_C
    )
    steep_s = DurationField("Steep", bounds=bounds.STEEP_S, default=USUAL_STEEP_S)
    press_s = DurationField("Press", bounds=bounds.PRESS_S)

    @classmethod
    def begin(cls, desk: Desk) -> dict[str, Any]:
        values = super().begin(desk)
        return {"grinder_id": desk.usual[1]} | values

    def offer(self, desk: Desk) -> None:
        super().offer(desk)
        self.grinder_id.choices = optional(desk.grinders)

    def values(self) -> dict[str, Any]:
        """What it says in the words of a recipe."""
        names = ("grind", "water_temp_c", "steep_s", "press_s")
        return {name: self[name].data for name in names}

    def cup(self, kind: str, dose_g: float, water_g: float, **more: Any) -> Cup:
        """A cup of this kind of brewer, made in this way."""
        return Cup(kind, dose_g, water_g, **(self.values() | more))


@dataclass(frozen=True)
class Way:
    """A brewer of the household or a kind, and what the journal has learned of it."""

    kind: str
    brewer_id: int | None = None
    capacity_g: float | None = None
    capacity_dose_g: float | None = None
    calibration: Calibration | None = None
    retained: Retained | None = None

    @property
    def formula(self) -> str:
        return FORMULAS[self.kind]

    def room_g(self, dose_g: float) -> float | None:
        """Brew water it holds with this dose, if its capacity is known; none when that is full."""
        if self.capacity_g is None:
            return None
        try:
            return brew_water_that_fits(self.capacity_g, dose_g, self.capacity_dose_g)
        except ValueError:
            return 0.0


def way_of(form: BrewerForm, desk: Desk) -> Way:
    """What is known of the brewer, and grinder, that a valid form names.

    A capacity typed into the form stands in for the brewer's own.
    """
    chosen = str(form.brewer.data)
    if chosen in FORMULAS:
        found = Way(chosen)
    else:
        row = desk.brewers[int(chosen)]
        grinder_id = form.grinder_id.data if isinstance(form, HowForm) else None
        found = Way(
            row.kind,
            row.id,
            row.capacity_g,
            row.capacity_dose_g,
            desk.learned.calibrations.get((row.id, grinder_id)),
            desk.learned.retained.get(row.id),
        )
    typed = form["capacity_g"].data if "capacity_g" in form else None
    return found if typed is None else replace(found, capacity_g=typed, capacity_dose_g=None)
