"""The recipe form, and the rows of its steps."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from werkzeug.datastructures import MultiDict
from wtforms import BooleanField, Form
from wtforms.validators import ValidationError

from app.brewing import bounds
from app.journal.revising import STEP_VALUES, VALUES, Draft
from app.models.base import NAME_CHARS, NOTE_CHARS, WORDS_CHARS
from app.models.recipes import STEP_KINDS
from app.web.fields import DurationField, LineField, NoteField, NumberField, PickField, WordField

MOST_STEPS = 40
SPARE_ROWS = 3


class StepForm(Form):
    """One step. A row left empty is no step."""

    place = NumberField("Place", bounds=bounds.STEP_PLACE)
    kind = WordField("What", ("", *STEP_KINDS), default="")
    starts_s = DurationField("Starts at", bounds=bounds.STEEP_S)
    lasts_s = DurationField("Lasts", bounds=bounds.STEEP_S)
    grams = NumberField("Water or ice", bounds=bounds.BYPASS_G, unit="g")
    note = LineField("Note", longest=WORDS_CHARS)

    @property
    def blank(self) -> bool:
        told = (self.kind, self.starts_s, self.lasts_s, self.grams, self.note)
        return not any(f.data not in (None, "") or f.process_errors for f in told)

    def validate_kind(self, field: WordField) -> None:
        if not field.data:
            raise ValidationError("Choose what is done in this step.")

    def values(self) -> dict[str, Any]:
        return {name: self[name].data for name in STEP_VALUES}


class RecipeForm(Form):
    """A recipe's name and note, and one revision of it with its steps in `rows`."""

    name = LineField("Name", longest=NAME_CHARS, required=True)
    brewer_id = PickField("Brewer")
    dose_g = NumberField("Dose", bounds=bounds.DOSE_G, unit="g", required=True)
    water_g = NumberField("Brew water", bounds=bounds.WATER_G, unit="g", required=True)
    bypass_g = NumberField("Bypass water", bounds=bounds.BYPASS_G, unit="g")
    ice_g = NumberField("Ice", bounds=bounds.ICE_G, unit="g")
    grind = WordField("Grind", bounds.GRINDS, default="medium")
    water_temp_c = NumberField("Water temperature", bounds=bounds.WATER_TEMP_C, unit="°C")
    steep_s = DurationField("Steep", bounds=bounds.STEEP_S)
    press_s = DurationField("Press", bounds=bounds.PRESS_S)
    stirs = NumberField("Stirs", bounds=bounds.STIRS, whole=True)
    flipped = BooleanField("Flipped (brewer upside down while it steeps)")
    note = NoteField("Note", longest=NOTE_CHARS)
    why = LineField("Why this revision", longest=WORDS_CHARS)

    def __init__(
        self,
        sent: MultiDict[str, str] | None = None,
        *,
        values: Mapping[str, Any] | None = None,
        steps: Iterable[Mapping[str, Any]] = (),
    ) -> None:
        super().__init__(sent, data=values)
        self.rows = _sent_rows(sent) if sent is not None else _prefilled_rows(steps)

    def validate(self, extra_validators: Mapping[str, Any] | None = None) -> bool:
        fine: bool = super().validate(extra_validators)
        for number, row in enumerate(self.rows, start=1):
            if not row.blank and not row.validate():
                fine = False
                said = "; ".join(f"{f.label.text}: {' '.join(f.errors)}" for f in row if f.errors)
                self.form_errors.append(f"Step {number}. {said}")
        return fine

    def draft(self) -> Draft:
        """What a valid form asks to save; no bypass and no ice are none of it."""
        values = {name: self[name].data for name in VALUES}
        values |= {name: values[name] or 0.0 for name in ("bypass_g", "ice_g")}
        name, note, why = (self[field].data for field in ("name", "note", "why"))
        return Draft(name, note, why, values, self._steps())

    def offer(self, brewers: list[tuple[int, str]]) -> None:
        any_brewer: dict[Any, str] = {"": "any"}
        self.brewer_id.choices = any_brewer | dict(brewers)

    def _steps(self) -> list[dict[str, Any]]:
        """The steps filled in, by their place; a row without one keeps its own."""
        filled = [(row, n) for n, row in enumerate(self.rows, start=1) if not row.blank]
        filled.sort(key=lambda pair: (_place(*pair), pair[1]))
        return [row.values() for row, _ in filled]


def _place(row: StepForm, number: int) -> float:
    typed: float | None = row.place.data
    return float(number) if typed is None else typed


def _sent_rows(sent: MultiDict[str, str]) -> list[StepForm]:
    prefixes = (f"steps-{n}-" for n in range(MOST_STEPS))
    return [StepForm(sent, prefix=prefix) for prefix in prefixes if f"{prefix}kind" in sent]


def _prefilled_rows(steps: Iterable[Mapping[str, Any]]) -> list[StepForm]:
    known = [dict(step, place=n) for n, step in enumerate(steps, start=1)]
    rows = known + [{} for _ in range(SPARE_ROWS)]
    return [StepForm(prefix=f"steps-{n}-", data=row) for n, row in enumerate(rows[:MOST_STEPS])]


def empty_row() -> StepForm:
    """The row that the page's script copies; `N` stands for its number."""
    return StepForm(prefix="steps-N-")
