"""Fields that several worksheets have in common, and their initial values."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass

from wtforms import Field, Form, SelectField
from wtforms.validators import ValidationError

from app.brewing import bounds
from app.brewing.strength.cup import Cup
from app.brewing.strength.extraction import FORMULAS
from app.web.amount_fields import AmountFields, HowFields
from app.web.fields import NumberField, PickField
from app.web.formats import formats
from app.worksheets.context import SheetContext
from app.worksheets.start import FormData

USUAL_TEMP_C = 93.0
USUAL_STEEP_S = 120
MODELLED = tuple(kind for kind, formula in FORMULAS.items() if formula != "none")


@contextmanager
def beside(field: Field) -> Iterator[None]:
    """Show the message of a ValueError in this block beside the field, too."""
    try:
        yield
    except ValueError as error:
        field.errors = [*field.errors, formats().say(error)]
        raise


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
        return {"dose_g": 11.0, "water_g": 200.0} | super().initial(context)

    def added(self) -> tuple[float, float]:
        """Bypass and ice (g); none where left empty."""
        return self.bypass_g.data or 0.0, self.ice_g.data or 0.0


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


@dataclass(frozen=True)
class How:
    """How a brew is made, as far as the estimate asks."""

    grind: str
    water_temp_c: float | None
    steep_s: int | None
    press_s: int | None


class HowForm(HowFields, BrewerForm):
    """A brewer, a grinder, and how it is brewed."""

    grinder_id = PickField("Grinder")

    @classmethod
    def initial(cls, context: SheetContext) -> FormData:
        usual: FormData = {
            "grinder_id": context.usual[1],
            "water_temp_c": USUAL_TEMP_C,
            "steep_s": USUAL_STEEP_S,
        }
        return usual | super().initial(context)

    def fill_choices(self, context: SheetContext) -> None:
        super().fill_choices(context)
        self.grinder_id.pick_from(context.grinders, none="–")

    def how(self) -> How:
        return How(self.grind.data, self.water_temp_c.data, self.steep_s.data, self.press_s.data)

    def cup(
        self, kind: str, dose_g: float, water_g: float, bypass_g: float = 0.0, ice_g: float = 0.0
    ) -> Cup:
        """A cup made in this way with a brewer of this kind."""
        return Cup(kind, dose_g, water_g, bypass_g, ice_g, **asdict(self.how()))
