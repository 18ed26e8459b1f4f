"""Fields that several worksheets ask for, and what they start with."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any

from wtforms import Field, Form, SelectField
from wtforms.validators import ValidationError

from app.brewing import bounds
from app.brewing.strength.cup import Cup
from app.brewing.strength.extraction import FORMULAS
from app.web.amount_fields import AmountFields, HowFields
from app.web.fields import NumberField, PickField
from app.web.formats import formats
from app.worksheets.desk import Desk

USUAL_TEMP_C = 93.0
USUAL_STEEP_S = 120
MODELLED = tuple(kind for kind, formula in FORMULAS.items() if formula != "none")


def optional(rows: Iterable[tuple[int, str]]) -> dict[Any, str]:
    """Rows to pick from, or none of them."""
    return {"": "–", **dict(rows)}


@contextmanager
def beside(field: Field) -> Iterator[None]:
    """What a sum refuses in here is told beside this field."""
    try:
        yield
    except ValueError as refused:
        field.errors = [*field.errors, formats().say(refused)]
        raise


class SheetForm(Form):
    """A worksheet's fields: what they start with, and what can be picked."""

    @classmethod
    def begin(cls, desk: Desk) -> dict[str, Any]:
        return dict(desk.start.values)

    def offer(self, desk: Desk) -> None:
        """Fill the lists to pick from."""


class AmountsForm(AmountFields, SheetForm):
    """What goes into a brew, and how much of it the brewer holds if not as its page says."""

    capacity_g = NumberField("The brewer holds", bounds=bounds.CAPACITY_G, unit="g")

    @classmethod
    def begin(cls, desk: Desk) -> dict[str, Any]:
        return {"dose_g": 11.0, "water_g": 200.0} | super().begin(desk)

    def added(self) -> dict[str, float]:
        """Bypass and ice; left empty they are none."""
        return {name: self[name].data or 0.0 for name in ("bypass_g", "ice_g")}


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


class HowForm(HowFields, BrewerForm):
    """How a brew is made, as far as the estimate asks."""

    grinder_id = PickField("Grinder")

    @classmethod
    def begin(cls, desk: Desk) -> dict[str, Any]:
        usual = {"water_temp_c": USUAL_TEMP_C, "steep_s": USUAL_STEEP_S}
        return {"grinder_id": desk.usual[1], **usual} | super().begin(desk)

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
