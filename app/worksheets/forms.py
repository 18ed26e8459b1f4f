"""Fields that several worksheets have in common, and their initial values."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

from wtforms import Field, Form, SelectField
from wtforms.validators import ValidationError

from app.brewing import bounds
from app.brewing.plans.scaling import brew_water_that_fits
from app.brewing.strength import notes
from app.brewing.strength.calibration import Calibration
from app.brewing.strength.cup import Cup
from app.brewing.strength.estimate import Estimate
from app.brewing.strength.extraction import FORMULAS
from app.brewing.strength.retention import Retained
from app.web.amount_fields import AmountFields, HowFields
from app.web.fields import NumberField, PickField
from app.web.formats import formats
from app.worksheets import invented
from app.worksheets.start import FormData, SheetContext

HOW = ("grind", "water_temp_c", "steep_s", "press_s", "stirs")
MODELLED = tuple(kind for kind, formula in FORMULAS.items() if formula != "none")


@contextmanager
def beside(field: Field) -> Iterator[None]:
    """Show the message of a ValueError in this block beside the field, too."""
    try:
        yield
    except ValueError as error:
        field.errors = [*field.errors, formats().say(error)]
        raise


def refuse_no_cup(field: Field, estimate: Estimate) -> None:
    """Say beside the field of the water that nothing, or next to nothing, of it would drain."""
    for note in (notes.NOTHING_LEFT, notes.HARDLY_LEFT):
        if note in estimate.notes:
            with beside(field):
                raise ValueError(note)


class SheetForm(Form):
    """A worksheet's fields: their initial values, and what can be picked."""

    @classmethod
    def initial(cls, context: SheetContext) -> FormData:
        return context.start.form_data

    def fill_choices(self, context: SheetContext) -> None:
        """Fill the lists to pick from."""


class AmountsForm(AmountFields, SheetForm):
    """What goes into a brew, and how much of it the brewer holds if not as its page says."""

    capacity_g = NumberField("The brewer holds", bounds=bounds.CAPACITY_G, unit="g")

    @classmethod
    def initial(cls, context: SheetContext) -> FormData:
        usual: FormData = {"dose_g": invented.DOSE_G, "water_g": invented.WATER_G}
        return usual | super().initial(context)

    def added(self) -> tuple[float, float]:
        """Bypass and ice (g); none where left empty."""
        return self.bypass_g.data or 0.0, self.ice_g.data or 0.0


@dataclass(frozen=True)
class ChosenBrewer:
    """A brewer of the household or a kind, and what the journal has learned of it."""

    kind: str
    brewer_id: int | None = None
    capacity_g: float | None = None
    capacity_dose_g: float | None = None
    calibration: Calibration | None = None
    retained: Retained | None = None

    def room_g(self, dose_g: float) -> float | None:
        """Brew water it holds with this dose, if its capacity is known; none when that is full."""
        if self.capacity_g is None:
            return None
        try:
            return brew_water_that_fits(self.capacity_g, dose_g, self.capacity_dose_g)
        except ValueError:
            return 0.0


class BrewerForm(SheetForm):
    """One of the household's brewers, or any of a kind."""

    brewer = SelectField("Brewer", validate_choice=False)

    @classmethod
    def initial(cls, context: SheetContext) -> FormData:
        values = super().initial(context)
        made = context.start.made
        brewer_id = (made.brewer_id if made else None) or context.usual[0]
        return values | {"brewer": str(brewer_id) if brewer_id in context.brewers else MODELLED[0]}

    def fill_choices(self, context: SheetContext) -> None:
        super().fill_choices(context)
        own = {str(row.id): f"{row.name} ({row.kind})" for row in context.brewers.values()}
        self.brewer.choices = own | {kind: f"Any {kind} brewer" for kind in MODELLED}

    def validate_brewer(self, field: SelectField) -> None:
        if field.data not in {choice[0] for choice in field.iter_choices()}:
            raise ValidationError("Please choose one from the list.")

    def chosen(self, context: SheetContext) -> ChosenBrewer:
        """The brewer of a valid form; a capacity typed into the form stands in for its own."""
        chosen, learned = str(self.brewer.data), context.learned
        if chosen in FORMULAS:
            brewer = ChosenBrewer(chosen)
        else:
            row = context.brewers[int(chosen)]
            grinder_id = self["grinder_id"].data if "grinder_id" in self else None
            brewer = ChosenBrewer(
                row.kind,
                row.id,
                row.capacity_g,
                row.capacity_dose_g,
                learned.calibrations.get((row.first_id, grinder_id)),
                learned.retained.get(row.first_id),
            )
        typed = self["capacity_g"].data if "capacity_g" in self else None
        return brewer if typed is None else replace(brewer, capacity_g=typed, capacity_dose_g=None)


class HowForm(HowFields, BrewerForm):
    """A brewer, a grinder, and how it is brewed."""

    grinder_id = PickField("Grinder")

    @classmethod
    def initial(cls, context: SheetContext) -> FormData:
        usual: FormData = {
            "grinder_id": context.usual[1],
            "water_temp_c": invented.WATER_TEMP_C,
            "steep_s": invented.STEEP_S,
        }
        return usual | super().initial(context)

    def fill_choices(self, context: SheetContext) -> None:
        super().fill_choices(context)
        self.grinder_id.pick_from(context.grinders, none="–")

    def cup(
        self, kind: str, dose_g: float, water_g: float, bypass_g: float = 0.0, ice_g: float = 0.0
    ) -> Cup:
        """A cup made in this way with a brewer of this kind."""
        how = {name: self[name].data for name in HOW}
        return Cup(kind, dose_g, water_g, bypass_g, ice_g, **how)
