"""Keeping a comparison: which cup was preferred, and a note."""

from __future__ import annotations

from wtforms import Form

from ..fields import NoteField, WordField
from ..models.base import NOTE_CHARS
from ..models.tastings import PREFERENCES


class SaveForm(Form):
    preference = WordField("Preference", PREFERENCES, default="")
    note = NoteField("Note", longest=NOTE_CHARS)
