"""Forms of packs and filters."""

from dataclasses import asdict

from wtforms import Form
from wtforms.validators import ValidationError

from app.brewing import bounds
from app.journal.rows import values_of
from app.models import FilterPack
from app.models.base import NAME_CHARS, NOTE_CHARS
from app.models.gear import RINSES, PackValues
from app.web.fields import (
    DayField,
    LineField,
    NoteField,
    NumberField,
    PriceForm,
    WordField,
    filled_in,
    typed_price,
)


class PackForm(PriceForm):
    """A pack; `taken` is how many filters already came out of it."""

    name = LineField("Name", longest=NAME_CHARS, required=True)
    material = WordField("Material", bounds.FILTER_MATERIALS)
    count = NumberField(
        "Filters in the pack",
        bounds=bounds.FILTER_COUNT,
        whole=True,
        required=True,
        description="A cloth or metal filter usually comes alone: 1.",
    )
    mass_g = NumberField(
        "One filter weighs",
        bounds=bounds.FILTER_MASS_G,
        unit="g",
        description="Ten on the scale at once, divided by ten, are nearer than one.",
    )
    bought_on = DayField("Bought on")
    note = NoteField("Note", longest=NOTE_CHARS)
    taken = 0

    def validate_count(self, field: NumberField) -> None:
        if field.data is not None and field.data < self.taken:
            raise ValidationError(f"{self.taken} were already taken out of this pack.")

    def values(self) -> PackValues:
        return filled_in(self, PackValues, price_minor=self.price_minor)


class FilterForm(Form):
    prior_uses = NumberField(
        "Uses before this journal",
        bounds=bounds.PRIOR_USES,
        whole=True,
        description="Counted on top of the brews that are logged.",
    )
    rinse = WordField("Rinsed before brewing", RINSES)
    note = NoteField("Note", longest=NOTE_CHARS)


def pack_form_values(pack: FilterPack) -> dict[str, object]:
    """What a pack's form shows before anything is changed."""
    price = typed_price(pack.price_minor, pack.currency)
    return asdict(values_of(pack, PackValues)) | {"price": price}
