"""The tasting form: liking, six just-right scales, words, and who tasted."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Unpack

from wtforms import BooleanField, Form

from app.brewing import bounds
from app.journal.tastings import TastingEntry
from app.models.base import NAME_CHARS, NOTE_CHARS, WORDS_CHARS
from app.models.tastings import TastingValues
from app.sensory.scores.scales import JUST_RIGHT_ATTRIBUTES, JUST_RIGHT_LABELS, LIKING_LABELS
from app.web.fields import (
    LineField,
    NoteField,
    Options,
    PickField,
    StepsField,
    WallTimeField,
    filled_in,
)

SCALES = tuple(f"jar_{attribute}" for attribute in JUST_RIGHT_ATTRIBUTES)
NOTHING_SAID = "Nothing was said yet: choose a step on any scale, or write a word."


class JustRightField(StepsField):
    """Five steps around just right, each with its name."""

    def __init__(self, label: str, **options: Unpack[Options]) -> None:
        super().__init__(label, bounds=bounds.JUST_RIGHT, **options)
        self.choices = {str(n): label for n, label in JUST_RIGHT_LABELS.items()}


class LikingField(StepsField):
    """The nine-point scale, each step with its name."""

    def __init__(self, label: str, **options: Unpack[Options]) -> None:
        super().__init__(label, bounds=bounds.LIKING, **options)
        self.choices = {str(n): f"{n}, {label}" for n, label in LIKING_LABELS.items()}


class TastingForm(Form):
    taster_id = PickField("Taster")
    new_taster = LineField("Name of a new taster", longest=NAME_CHARS)
    liking = LikingField("Liking")
    jar_strength = JustRightField("Strength")
    jar_sweetness = JustRightField("Sweetness")
    jar_acidity = JustRightField("Acidity")
    jar_bitterness = JustRightField("Bitterness")
    jar_body = JustRightField("Body")
    jar_clarity = JustRightField("Clarity")
    words = LineField("Words", longest=WORDS_CHARS)
    note = NoteField("Note", longest=NOTE_CHARS)
    blind: BooleanField | None = BooleanField("Tasted blind, without knowing which brew it was")
    tasted_at = WallTimeField("Tasted at (empty: now)")

    def validate(self, extra_validators: Mapping[str, Sequence[object]] | None = None) -> bool:
        valid = super().validate(extra_validators)
        if self.taster_id.data is None and not self.new_taster.data and not self.taster_id.errors:
            self.new_taster.errors = [*self.new_taster.errors, "Please say who tasted."]
            valid = False
        if not self.says_anything:
            self.form_errors.append(NOTHING_SAID)
            valid = False
        return valid

    @property
    def says_anything(self) -> bool:
        scored = any(self[name].data is not None for name in ("liking", *SCALES))
        return bool(scored or self.words.data or self.note.data)

    def entry(self, tasted_at: datetime, after_trial_id: int | None = None) -> TastingEntry:
        """What a valid form asks to save."""
        taster, new_taster = self.taster_id.data, self.new_taster.data or ""
        blind = bool(self.blind and self.blind.data)
        values = filled_in(self, TastingValues, blind=blind)
        return TastingEntry(values, tasted_at, taster, new_taster, after_trial_id)


class SearchForm(Form):
    q = LineField("Words", longest=200)
