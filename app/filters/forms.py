"""Forms of packs and filters. Each field carries its own hint."""

from __future__ import annotations

from typing import Any

from wtforms import Form
from wtforms.validators import ValidationError
from wtforms.widgets import DateInput

from app.brewing import bounds
from app.models import Filter, FilterPack
from app.models.base import NAME_CHARS, NOTE_CHARS
from app.models.gear import RINSES
from app.web.fields import (
    DayField,
    LineField,
    NoteField,
    NumberField,
    PriceForm,
    WordField,
    as_typed,
)

PACK_COLUMNS = ("name", "material", "count", "mass_g", "bought_on", "note")
FILTER_COLUMNS = ("prior_uses", "rinse", "note")


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
        description="A small round paper weighs some 0.17 g (common practice, no source).",
    )
    bought_on = DayField("Bought on", widget=DateInput())
    note = NoteField("Note", longest=NOTE_CHARS)
    taken = 0

    def validate_count(self, field: NumberField) -> None:
        if field.data is not None and field.data < self.taken:
            raise ValidationError(f"{self.taken} were already taken out of this pack.")

    def columns(self) -> dict[str, Any]:
        return {name: self[name].data for name in PACK_COLUMNS} | self.priced()


class FilterForm(Form):
    prior_uses = NumberField(
        "Uses before this journal",
        bounds=bounds.PRIOR_USES,
        whole=True,
        description="Counted on top of the brews that are logged.",
    )
    rinse = WordField("Rinsed before brewing", RINSES)
    note = NoteField("Note", longest=NOTE_CHARS)

    def columns(self) -> dict[str, Any]:
        values = {name: self[name].data for name in FILTER_COLUMNS}
        return values | {"prior_uses": self.prior_uses.data or 0}


def pack_as_kept(pack: FilterPack) -> dict[str, Any]:
    values = {name: getattr(pack, name) for name in PACK_COLUMNS}
    return values | as_typed(pack.price_minor, pack.currency)


def filter_as_kept(paper: Filter) -> dict[str, Any]:
    return {name: getattr(paper, name) for name in FILTER_COLUMNS}
