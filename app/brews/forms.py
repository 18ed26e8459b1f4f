"""The brew form: what a brew was, as it is typed."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from wtforms import BooleanField, FileField, Form, HiddenField, RadioField, SelectField
from wtforms.form import BaseForm
from wtforms.validators import ValidationError

from app.brewing import bounds
from app.models.base import NAME_CHARS, NOTE_CHARS
from app.sensory.terms import Letter, letter_or_none
from app.web.fields import (
    DayField,
    DurationField,
    LineField,
    NoteField,
    NumberField,
    PickField,
    StepsField,
    WallTimeField,
    WordField,
    number_or_none,
)


@dataclass(frozen=True)
class FilterChoice:
    """What the picker says: a filter by its id, or a fresh one out of a pack."""

    filter_id: int | None = None
    pack_id: int | None = None

    @classmethod
    def read(cls, text: str) -> FilterChoice | None:
        match = re.fullmatch(r"(fresh:)?(\d{1,9})", text, re.ASCII)
        if not match:
            return None
        number = int(match[2])
        return cls(pack_id=number) if match[1] else cls(filter_id=number)

    def write(self) -> str:
        return f"fresh:{self.pack_id}" if self.pack_id else str(self.filter_id)


class FilterField(RadioField):
    """One filter of the stack; empty means none."""

    def __init__(self, label: str, **kw: Any) -> None:
        super().__init__(label, validate_choice=False, default="", **kw)

    def pre_validate(self, form: BaseForm) -> None:
        if self.data and not self.choice:
            raise ValidationError("Please choose one from the list.")

    @property
    def choice(self) -> FilterChoice | None:
        return FilterChoice.read(self.data or "")


class BrewForm(Form):
    entry_key = HiddenField(default="")
    trial_id = HiddenField()
    cup = HiddenField()
    brewed_at = WallTimeField("When (empty: now)")
    bag_id = PickField("Bag")
    new_bean = LineField("Or a bean that is new here", longest=NAME_CHARS)
    brewer_id = PickField("Brewer")
    new_brewer_kind = SelectField(
        "Or a brewer that is new here",
        choices={"": "–"} | {kind: kind for kind in bounds.BREWER_KINDS},
        validate_choice=True,
    )
    revision_id = PickField("Recipe")
    grinder_id = PickField("Grinder")
    water_id = PickField("Water")
    dose_g = NumberField("Dose", bounds=bounds.DOSE_G, unit="g", required=True)
    water_g = NumberField("Brew water", bounds=bounds.WATER_G, unit="g", required=True)
    bypass_g = NumberField("Bypass water", bounds=bounds.BYPASS_G, unit="g")
    ice_g = NumberField("Ice", bounds=bounds.ICE_G, unit="g")
    grind = WordField("Grind", bounds.GRINDS, default="medium")
    grind_setting = LineField("Grinder setting", longest=20)
    water_temp_c = NumberField("Water temperature", bounds=bounds.WATER_TEMP_C, unit="°C")
    steep_s = DurationField("Steep", bounds=bounds.STEEP_S)
    press_s = DurationField("Press", bounds=bounds.PRESS_S)
    press_effort = StepsField("Press effort", bounds=bounds.PRESS_EFFORT)
    flipped = BooleanField("Flipped (brewer upside down while it steeps)")
    stirs = NumberField("Stirs", bounds=bounds.STIRS, whole=True)
    filter_1 = FilterField("Filter")
    filter_2 = FilterField("Stack a second one")
    filter_3 = FilterField("Stack a third one")
    retire_1 = BooleanField("Retire it after this brew")
    retire_2 = BooleanField("Retire the second one after this brew")
    retire_3 = BooleanField("Retire the third one after this brew")
    beverage_g = NumberField("Beverage in the cup", bounds=bounds.BEVERAGE_G, unit="g")
    tds_pct = NumberField("Measured strength", bounds=bounds.TDS_PCT, unit="% TDS")
    note = NoteField("Note", longest=NOTE_CHARS)
    photo = FileField("Photo")
    photo_alt = LineField("What the photo shows", longest=NAME_CHARS)

    def validate_bag_id(self, field: PickField) -> None:
        if field.data is None and not self.new_bean.data:
            raise ValidationError("Please choose a bag, or name a new bean.")

    def validate_brewer_id(self, field: PickField) -> None:
        if field.data is None and not self.new_brewer_kind.data:
            raise ValidationError("Please choose a brewer, or say what kind the new one is.")

    def validate_filter_2(self, field: FilterField) -> None:
        self._refuse_twice(field, self.filter_1)

    def validate_filter_3(self, field: FilterField) -> None:
        self._refuse_twice(field, self.filter_1, self.filter_2)

    def _refuse_twice(self, field: FilterField, *others: FilterField) -> None:
        used = {other.data for other in others}
        if field.data and field.choice and field.choice.filter_id and field.data in used:
            raise ValidationError("One filter cannot be in the stack twice.")

    @property
    def for_trial(self) -> tuple[int, Letter | None] | None:
        """The blind trial this brew was made for, and as which cup (None: not A or B)."""
        trial_id = number_or_none(self.trial_id.data)
        return (trial_id, letter_or_none(self.cup.data)) if trial_id else None

    def stack(self) -> list[tuple[FilterChoice, bool]]:
        """The filters from the first on, each with whether it is retired afterwards."""
        slots = (
            (self.filter_1, self.retire_1),
            (self.filter_2, self.retire_2),
            (self.filter_3, self.retire_3),
        )
        return [(slot.choice, bool(retire.data)) for slot, retire in slots if slot.choice]


class SearchForm(Form):
    """What the list of brews is narrowed to."""

    q = LineField("Words", longest=200)
    bag = PickField("Bag")
    recipe = PickField("Recipe")
    filter = PickField("Filter")
    since = DayField("From")
    until = DayField("To")


def ratio_line(form: BrewForm, fixed: Callable[[float, int], str]) -> str:
    """Ratio and grams per litre as the save bar shows them; log.js says the same while typing."""
    dose, water = form.dose_g.data, form.water_g.data
    if not dose or not water:
        return ""
    total = water + (form.bypass_g.data or 0) + (form.ice_g.data or 0)
    in_all = f", 1 : {fixed(total / dose, 1)} in all" if total > water else ""
    return f"1 : {fixed(water / dose, 1)}{in_all} · {fixed(1000 * dose / total, 0)} g/L"
