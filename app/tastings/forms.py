"""The tasting form: liking, six just-right scales, words, and who tasted."""

from __future__ import annotations

from typing import Any
from uuid import UUID, uuid4

from wtforms import BooleanField, Form, HiddenField

from app.brewing import bounds
from app.models.base import NAME_CHARS, NOTE_CHARS, WORDS_CHARS
from app.sensory.scores.liking import JUST_RIGHT_ATTRIBUTES, JUST_RIGHT_LABELS, LIKING_LABELS
from app.web.fields import LineField, NoteField, PickField, StepsField, WallTimeField

SCALES = tuple(f"jar_{attribute}" for attribute in JUST_RIGHT_ATTRIBUTES)
NOTHING_SAID = "Nothing was said yet: choose a step on any scale, or write a word."


class JustRightField(StepsField):
    """Five steps around just right, each with its name."""

    def __init__(self, label: str, **kw: Any) -> None:
        super().__init__(label, bounds=bounds.JUST_RIGHT, **kw)
        self.choices = {str(n): label for n, label in JUST_RIGHT_LABELS.items()}


class TastingForm(Form):
    entry_key = HiddenField(default=lambda: str(uuid4()))
    taster_id = PickField("Taster")
    new_taster = LineField("Name of a new taster", longest=NAME_CHARS)
    liking = StepsField("Liking", bounds=bounds.LIKING)
    jar_strength = JustRightField("Strength")
    jar_sweetness = JustRightField("Sweetness")
    jar_acidity = JustRightField("Acidity")
    jar_bitterness = JustRightField("Bitterness")
    jar_body = JustRightField("Body")
    jar_clarity = JustRightField("Clarity")
    words = LineField("Words", longest=WORDS_CHARS)
    note = NoteField("Note", longest=NOTE_CHARS)
    blind = BooleanField("Tasted blind, without knowing which brew it was")
    tasted_at = WallTimeField("Tasted at (empty: now)")

    def __init__(self, *args: Any, **kw: Any) -> None:
        super().__init__(*args, **kw)
        self.liking.choices = {str(n): f"{n}, {label}" for n, label in LIKING_LABELS.items()}

    def validate(self, extra_validators: Any = None) -> bool:
        sound = super().validate(extra_validators)
        if self.taster_id.data is None and not self.new_taster.data and not self.taster_id.errors:
            self.new_taster.errors = [*self.new_taster.errors, "Please say who tasted."]
            sound = False
        if not self.says_something():
            self.form_errors.append(NOTHING_SAID)
            sound = False
        return sound

    def says_something(self) -> bool:
        stepped = any(self[name].data is not None for name in ("liking", *SCALES))
        return stepped or bool(self.words.data or self.note.data)

    def key(self) -> str:
        """The form's own key, or a new one where a browser sent something else."""
        try:
            return str(UUID(self.entry_key.data or ""))
        except ValueError:
            return str(uuid4())


class SearchForm(Form):
    q = LineField("Words", longest=200)
