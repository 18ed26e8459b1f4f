"""The brew form: what a brew was, as it is typed and as its folded rows say it."""

import re
from dataclasses import replace
from datetime import datetime

from wtforms import BooleanField, Field, FileField, Form, HiddenField, RadioField, SelectField
from wtforms.fields.choices import SelectFieldBase
from wtforms.form import BaseForm
from wtforms.validators import ValidationError
from wtforms.widgets import Select

from app.brewing import bounds
from app.brews import words
from app.brews.photos import TOO_LARGE
from app.config import MAX_REQUEST_BYTES
from app.formats import joined, so_many
from app.journal.saving_brews import BrewEntry, StackedFilter
from app.models.base import NAME_CHARS, NOTE_CHARS
from app.models.brews import BrewValues
from app.sensory.terms import Letter, letter_or_none
from app.web.amount_fields import BrewingFields, MeasuredFields
from app.web.fields import (
    DayField,
    DurationField,
    LineField,
    NoteField,
    NumberField,
    PickField,
    StepsField,
    WallTimeField,
    filled_in,
    number_or_none,
)
from app.web.formats import formats
from app.web.widgets import OneMark, OneOf

FRESH = "fresh:"
CHOICE = re.compile(rf"({FRESH})?(\d{{1,9}})", re.ASCII)
# The fields of a cup as the page of two shows them, row by row.
ROWS = {
    "Bag": ("bag_id",),
    "Brewer": ("brewer_id", "revision_id"),
    "Filter": ("filter_1", "filter_2", "filter_3"),
    "Dose and water": ("dose_g", "water_g"),
    "Bypass and ice": ("bypass_g", "ice_g"),
    "Grind": ("grind", "grind_setting", "grinder_id"),
    "Water": ("water_temp_c", "water_id"),
    "Steep and press": ("steep_s", "press_s", "stirs", "press_effort", "flipped"),
    "Beverage": ("beverage_g",),
    "Note": ("note",),
}


class FilterField(RadioField):
    """One filter of the stack by its id, or a fresh one of a pack; empty means none."""

    option_widget = OneMark()

    def pre_validate(self, form: BaseForm) -> None:
        if self.data and not self.choice:
            raise ValidationError("Please choose one from the list.")

    @property
    def choice(self) -> StackedFilter | None:
        match = CHOICE.fullmatch(self.data or "")
        if not match:
            return None
        number = int(match[2])
        return StackedFilter(pack_id=number) if match[1] else StackedFilter(filter_id=number)


def _filter_field(label: str, widget: Select | None = None) -> FilterField:
    return FilterField(label, validate_choice=False, default="", widget=widget)


class BrewForm(BrewingFields, MeasuredFields):
    trial_id = HiddenField()
    cup = HiddenField()
    line = HiddenField()  # of a sitting
    run = HiddenField()  # of an experiment
    asked = HiddenField()  # see `asking`
    brewed_at = WallTimeField("When (empty: now)")
    bag_id = PickField("Bag")
    new_bean = LineField("Or a bean that is new here", longest=NAME_CHARS)
    brewer_id = PickField("Brewer")
    new_brewer_kind = SelectField(
        "Or a brewer that is new here",
        choices={"": "–"} | {kind: kind for kind in bounds.BREWER_KINDS},
        validate_choice=True,
    )
    new_brewer_name = LineField("Its name", longest=NAME_CHARS)
    revision_id = PickField("Recipe")
    grinder_id = PickField("Grinder")
    new_grinder = LineField("Or a grinder that is new here", longest=NAME_CHARS)
    water_id = PickField("Water")
    grind_setting = LineField("Grinder setting", longest=20)
    press_effort = StepsField("Press effort", bounds=bounds.PRESS_EFFORT)
    filter_1 = _filter_field("Filter")
    filter_2 = _filter_field("Stack a second one", widget=OneOf())
    filter_3 = _filter_field("Stack a third one", widget=OneOf())
    retire_1 = BooleanField("Retire it after this brew")
    retire_2 = BooleanField("Retire the second one after this brew")
    retire_3 = BooleanField("Retire the third one after this brew")
    beverage_g = NumberField("Beverage in the cup", bounds=bounds.BEVERAGE_G, unit="g")
    note = NoteField("Note", longest=NOTE_CHARS)
    photo = FileField(
        "Photo", render_kw={"data-most": MAX_REQUEST_BYTES, "data-too-large": TOO_LARGE}
    )
    photo_alt = LineField("What the photo shows", longest=NAME_CHARS)

    # Where there is nothing to choose from yet, the form has no list: what is missing is then said
    # beside the field that it has.
    def validate_bag_id(self, field: PickField) -> None:
        if field.raw_data and field.data is None and not self.new_bean.data:
            raise ValidationError(words.NO_BAG)

    def validate_new_bean(self, field: LineField) -> None:
        if not self.bag_id.raw_data and not field.data:
            raise ValidationError(words.NO_BEAN)

    def validate_brewer_id(self, field: PickField) -> None:
        if field.raw_data and field.data is None and not self.is_new_brewer:
            raise ValidationError(words.NO_BREWER)

    def validate_new_brewer_kind(self, field: SelectField) -> None:
        if not field.data and (self.new_brewer_name.data or not self.brewer_id.raw_data):
            raise ValidationError(words.NO_KIND)

    def validate_filter_2(self, field: FilterField) -> None:
        self._refuse_twice(field, self.filter_1)

    def validate_filter_3(self, field: FilterField) -> None:
        self._refuse_twice(field, self.filter_1, self.filter_2)

    def _refuse_twice(self, field: FilterField, *others: FilterField) -> None:
        used = {other.data for other in others}
        if field.data and field.choice and field.choice.filter_id and field.data in used:
            raise ValidationError("One filter cannot be in the stack twice.")

    @property
    def prefix(self) -> str:
        """What its fields' names begin with: "a-" for cup A of two."""
        return self.dose_g.name.removesuffix("dose_g")

    @property
    def is_new_brewer(self) -> bool:
        return bool(self.new_brewer_kind.data or self.new_brewer_name.data)

    @property
    def slots(self) -> tuple[FilterField, FilterField, FilterField]:
        return self.filter_1, self.filter_2, self.filter_3

    @property
    def for_trial(self) -> tuple[int, Letter | None] | None:
        """The blind trial this brew was made for, and as which cup (None: not A or B)."""
        trial_id = number_or_none(self.trial_id.data)
        return (trial_id, letter_or_none(self.cup.data)) if trial_id else None

    @property
    def for_line(self) -> int | None:
        """The line of a sitting that this brew is made for."""
        return number_or_none(self.line.data)

    @property
    def for_run(self) -> int | None:
        """The run of an experiment that this brew is made for."""
        return number_or_none(self.run.data)

    def entry(self, brewed_at: datetime) -> BrewEntry:
        """What a valid form asks to save."""
        retiring = (self.retire_1.data, self.retire_2.data, self.retire_3.data)
        stack = [
            replace(slot.choice, retire=retire)
            for slot, retire in zip(self.slots, retiring, strict=True)
            if slot.choice
        ]
        values = filled_in(self, BrewValues, tds_pct=self.measured_pct)
        return BrewEntry(
            values,
            brewed_at,
            stack,
            new_bean=self.new_bean.data or "",
            new_brewer_kind=self.new_brewer_kind.data or "",
            new_brewer_name=self.new_brewer_name.data or "",
            new_grinder=self.new_grinder.data or "",
        )


class SearchForm(Form):
    """What the list of brews is narrowed to."""

    q = LineField("Words", longest=200)
    bag = PickField("Bag")
    recipe = PickField("Recipe")
    filter = PickField("Filter")
    since = DayField("From")
    until = DayField("To")


def ratio_line(form: BrewForm) -> str:
    """Ratio and grams per litre as the save bar shows them; log.js says the same while typing."""
    dose, water = form.dose_g.data, form.water_g.data
    if not dose or not water:
        return ""
    fixed = formats().fixed
    total = water + (form.bypass_g.data or 0) + (form.ice_g.data or 0)
    in_all = f", 1 : {fixed(total / dose, 1)} in all" if total > water else ""
    return joined(f"1 : {fixed(water / dose, 1)}{in_all} · {fixed(1000 * dose / total, 0)} g/L")


def field_in_words(field: Field) -> str:
    """What a field says of itself while its row is folded; nothing where it is empty."""
    value = field.data
    if value is None or value is False or value == "":
        return ""
    name = field.label.text.lower()
    if isinstance(field, BooleanField):
        return name.partition(" (")[0]
    if isinstance(field, StepsField):
        return f"{name.rpartition(' ')[2]} {value}"
    if isinstance(field, SelectFieldBase):
        return _chosen(field)
    if isinstance(field, DurationField):
        return formats().clock(value)
    if isinstance(field, WallTimeField):
        return f"{formats().day(value)}, {value:%H:%M}"
    if isinstance(field, NumberField):
        amount = formats().amount(value, field.stored_unit, 2)
        return amount if field.stored_unit else so_many(value, name)
    return value[:40] if isinstance(value, str) else ""


def _chosen(field: SelectFieldBase) -> str:
    for value, label, *_ in field.iter_choices():
        if value == field.data and value not in ("", None):
            first, _, second = str(label).partition("\n")
            return f"{first}, {second.partition(' · ')[0]}" if second else first
    return ""
