"""Who tastes: one person, several, or a panel; the fields that name them, and putting them down."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sqlalchemy.orm import Session
from wtforms import Form, SelectMultipleField
from wtforms.validators import ValidationError
from wtforms.widgets import CheckboxInput

from app.journal.tastings import taster_named
from app.models.base import NAME_CHARS, NOTE_CHARS
from app.text import search_text
from app.web.fields import LineField, number_or_none


class ManyField(SelectMultipleField):
    """Some of the listed rows by their numbers, each with a box to tick."""

    option_widget = CheckboxInput()

    def __init__(self, label: str, **kw: Any) -> None:
        super().__init__(label, coerce=number_or_none, validate_choice=False, **kw)

    def pre_validate(self, form: Any) -> None:
        listed = {choice[0] for choice in self.iter_choices()}
        if not set(self.data or ()) <= listed:
            raise ValidationError("Please choose from the list.")


class NamesField(LineField):
    """Names parted by commas; `names` are the different ones."""

    @property
    def names(self) -> list[str]:
        found: dict[str, str] = {}
        for name in map(str.strip, (self.data or "").split(",")):
            if name:
                found.setdefault(search_text(name), name)
        return list(found.values())

    def pre_validate(self, form: Any) -> None:
        super().pre_validate(form)
        if any(len(name) > NAME_CHARS for name in self.names):
            raise ValidationError(f"Keep each name within {NAME_CHARS} characters.")


class MoreTasters(Form):
    more_ids = ManyField("More tasters")
    more_names = NamesField("Names of new tasters, parted by commas", longest=NOTE_CHARS)

    def offer(self, tasters: dict[Any, str]) -> None:
        self.more_ids.choices = tasters

    def count(self) -> int:
        """How many are named here."""
        return len(set(self.more_ids.data or ())) + len(self.more_names.names)


def put_down(session: Session, ids: Iterable[int], names: Iterable[str]) -> list[int]:
    """The tasters' ids, each once, in the order given; who is new is put down."""
    return list(dict.fromkeys([*ids, *(taster_named(session, name) for name in names)]))
