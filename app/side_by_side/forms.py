"""Keeping a comparison: which cup was preferred, and a note."""

from __future__ import annotations

from wtforms import Form

from app.models.base import NOTE_CHARS
from app.models.tastings import PREFERENCES
from app.web.fields import NoteField, WordField


class SaveForm(Form):
    preference = WordField("Preference", PREFERENCES, default="")
    note = NoteField("Note", longest=NOTE_CHARS)
