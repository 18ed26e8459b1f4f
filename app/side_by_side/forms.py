"""The form that saves a comparison: which cup was preferred, and a note."""

from __future__ import annotations

from wtforms import Form

from app.journal.pairs.saved import Comparison
from app.models.base import NOTE_CHARS
from app.models.tastings import PREFERENCES
from app.web.fields import NoteField, WordField


class SaveForm(Form):
    preference = WordField("Preference", PREFERENCES, default="")
    note = NoteField("Note", longest=NOTE_CHARS)

    def values(self, brew_a: int, brew_b: int) -> Comparison:
        return Comparison(brew_a, brew_b, self.preference.data, self.note.data or "")
