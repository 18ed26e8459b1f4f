"""The form of a recipe, which its page fills in and a worksheet too, and the rows of its steps."""

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import asdict

from sqlalchemy.orm import Session
from wtforms import Form, FormField
from wtforms.validators import ValidationError

from app.brewing import bounds
from app.brewing.plans.scaling import PlannedStep
from app.journal.gear import pick_list
from app.journal.recipes import is_brewed
from app.journal.revising import Draft, steps_of
from app.journal.rows import values_of
from app.models import Brewer, Recipe, RecipeRevision
from app.models.base import NAME_CHARS, NOTE_CHARS, WORDS_CHARS
from app.models.recipes import STEP_KINDS, RevisionValues
from app.web.amount_fields import BrewingFields, amounts_data
from app.web.fields import (
    DurationField,
    LineField,
    NoteField,
    NumberField,
    PickField,
    RowsField,
    WordField,
    filled_in,
)

MOST_STEPS = 40
SPARE_ROWS = 3
PLACE = (0.0, 1000.0)


class StepForm(Form):
    """One step. A row left empty is no step."""

    place = NumberField("Place", bounds=PLACE)
    kind = WordField("What", ("", *STEP_KINDS), default="")
    starts_s = DurationField("Starts at", bounds=bounds.STEEP_S)
    lasts_s = DurationField("Lasts", bounds=bounds.STEEP_S)
    grams = NumberField("Water or ice", bounds=bounds.BYPASS_G, unit="g")
    note = LineField("Note", longest=WORDS_CHARS)

    @property
    def blank(self) -> bool:
        filled = (self.kind, self.starts_s, self.lasts_s, self.grams, self.note)
        return not any(f.data not in (None, "") or f.process_errors for f in filled)

    def validate(self, extra_validators: Mapping[str, Sequence[object]] | None = None) -> bool:
        return self.blank or super().validate(extra_validators)

    def validate_kind(self, field: WordField) -> None:
        if not field.data:
            raise ValidationError("Choose what is done in this step.")


class StepRows(RowsField):
    """Rows of steps, numbered below MOST_STEPS; other numbers a browser may send are ignored."""

    @property
    def rows(self) -> list[StepForm]:
        return [entry.form for entry in self]

    def in_order(self) -> list[StepForm]:
        """The steps filled in, by their place; a row without one keeps its own."""
        places = {
            row: n if row.place.data is None else row.place.data
            for n, row in enumerate(self.rows, start=1)
            if not row.blank
        }
        return [
            StepForm(prefix=f"{self.name}-{n}-", data=row.data | {"place": n + 1})
            for n, row in enumerate(sorted(places, key=places.__getitem__))
        ]

    def offer_rows(self) -> None:
        """Have a few empty rows after those filled in, as far as there is room."""
        spare = sum(row.blank for row in self.rows)
        for _ in range(min(SPARE_ROWS - spare, MOST_STEPS - len(self.rows))):
            self.append_entry()

    def _extract_indices(self, prefix: str, formdata: Container[str]) -> Iterator[int]:
        return (n for n in range(MOST_STEPS) if f"{prefix}-{n}-kind" in formdata)


class RecipeForm(BrewingFields):
    """A recipe's name and note, and one revision of it with its steps."""

    name = LineField("Name", longest=NAME_CHARS, required=True)
    brewer_id = PickField("Brewer")
    note = NoteField("Note", longest=NOTE_CHARS)
    why = LineField("Why this revision", longest=WORDS_CHARS)
    steps = StepRows(FormField(StepForm), max_entries=MOST_STEPS)

    def draft(self) -> Draft:
        """What a valid form asks to save."""
        name, note, why = (self[field].data for field in ("name", "note", "why"))
        steps = [filled_in(row, PlannedStep) for row in self.steps.in_order()]
        return Draft(name, note, why, filled_in(self, RevisionValues), steps)


def filled(session: Session, recipe: Recipe, latest: RecipeRevision) -> RecipeForm:
    """The form of a recipe, whose latest revision is loaded with its steps.

    One that was brewed gets a successor, which has its own reason.
    """
    data = form_values(values_of(latest, RevisionValues), steps_of(latest))
    why = "" if is_brewed(session, latest.id) else latest.why
    form = RecipeForm(data=data | {"name": recipe.name, "note": recipe.note, "why": why})
    form.brewer_id.pick_from(pick_list(session, Brewer, latest.brewer_id), none="any")
    return form


def form_values(
    values: RevisionValues | None = None, steps: Sequence[PlannedStep] = ()
) -> dict[str, object]:
    """What the form starts from: values, if any, and steps."""
    rows = [asdict(step) | {"place": n} for n, step in enumerate(steps, start=1)]
    return (amounts_data(values) if values else {}) | {"steps": rows[:MOST_STEPS]}
