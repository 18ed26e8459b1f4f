"""Forms of brewers, grinders and waters, and what each kind of brewer is."""

from collections.abc import Mapping
from types import MappingProxyType

from wtforms import Form
from wtforms.validators import ValidationError

from app.brewing import bounds
from app.journal.alike import two_kinds
from app.journal.gear import BrewerRow
from app.models.base import NAME_CHARS, NOTE_CHARS
from app.web.fields import LineField, NoteField, NumberField, PickField, WordField

KINDS = {
    "pressed immersion": (
        "All the grounds steep in all the water, then it is pressed through the filter. Strength "
        "and extraction follow the immersion formula; the little that pressing adds by running "
        "through the bed is left out."
    ),
    "immersion": (
        "All the grounds steep in all the water and are then drained or poured off. Strength and "
        "extraction follow the immersion formula."
    ),
    "cone": (
        "Water runs through a cone of grounds: drip. Weigh the beverage when you measure its "
        "strength, and the extraction needs no guess of what the grounds hold."
    ),
    "flat bed": (
        "Water runs through a level bed of grounds: drip. Weigh the beverage when you measure its "
        "strength, and the extraction needs no guess of what the grounds hold."
    ),
    "other": (
        "No formula is sure to fit, so nothing is estimated: the ratio and what you measure stand "
        "alone."
    ),
}


class BrewerForm(Form):
    name = LineField("Name", longest=NAME_CHARS, required=True)
    kind = WordField(
        "Kind",
        bounds.BREWER_KINDS,
        description="Decides which formula reads its brews, those of the past too.",
    )
    capacity_g = NumberField(
        "Brew water it holds",
        bounds=bounds.CAPACITY_G,
        unit="g",
        description="As much as you can pour with the dose beside it already in.",
    )
    capacity_dose_g = NumberField("With this dose in it", bounds=bounds.DOSE_G, unit="g")
    alike_id = PickField(
        "Alike to",
        description="Another of the same kind and size that you own. Alike brewers count as one "
        "and learn together.",
    )
    note = NoteField("Note", longest=NOTE_CHARS)
    others: Mapping[int, BrewerRow] = MappingProxyType({})

    def validate_alike_id(self, field: PickField) -> None:
        other = self.others.get(field.data or 0)
        if other is not None and other.kind != self.kind.data:
            raise ValidationError(two_kinds(other.name, other.kind))

    def validate_capacity_dose_g(self, field: NumberField) -> None:
        if field.data is not None and self.capacity_g.data is None:
            raise ValidationError("Say how much water it holds with this dose, or empty this.")


class GrinderForm(Form):
    name = LineField("Name", longest=NAME_CHARS, required=True)
    scale = LineField(
        "What its numbers count",
        longest=NAME_CHARS,
        description="In words: clicks from closed, the mark on the dial.",
    )
    um_per_step = NumberField(
        "Burr travel a step",
        bounds=bounds.UM_PER_STEP,
        unit="µm",
        description="Only if the maker tells it; it is not the size of the grounds.",
    )
    note = NoteField("Note", longest=NOTE_CHARS)


class WaterForm(Form):
    name = LineField("Name", longest=NAME_CHARS, required=True)
    hardness_mg_l = NumberField(
        "Hardness as CaCO3",
        bounds=bounds.HARDNESS_MG_L,
        unit="mg/L",
        description="1 °dH is 17.85 mg/L, 1 °f is 10 mg/L.",
    )
    alkalinity_mg_l = NumberField(
        "Alkalinity as CaCO3",
        bounds=bounds.ALKALINITY_MG_L,
        unit="mg/L",
        description="0.82 times the hydrogen carbonate (HCO3) that a label gives in mg/L.",
    )
    note = NoteField("Note", longest=NOTE_CHARS)
