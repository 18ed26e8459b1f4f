"""The form fields that name tasters."""

from collections.abc import Mapping
from typing import Any

from wtforms import Form
from wtforms.form import BaseForm
from wtforms.validators import ValidationError

from app.models.base import NAME_CHARS, NOTE_CHARS
from app.text import search_text
from app.web.fields import LineField, number_or_none
from app.web.several import ManyField


class NamesField(LineField):
    """Names separated by commas; `names` has each once."""

    @property
    def names(self) -> list[str]:
        names: dict[str, str] = {}
        for name in map(str.strip, (self.data or "").split(",")):
            if name:
                names.setdefault(search_text(name), name)
        return list(names.values())

    def pre_validate(self, form: BaseForm) -> None:
        super().pre_validate(form)
        if any(len(name) > NAME_CHARS for name in self.names):
            raise ValidationError(f"Keep each name within {NAME_CHARS} characters.")


class MoreTasters(Form):
    more_ids = ManyField("More tasters", coerce=number_or_none)
    more_names = NamesField("Names of new tasters, separated by commas", longest=NOTE_CHARS)

    def offer(self, tasters: Mapping[int, str]) -> None:
        choices: dict[Any, str] = dict(tasters)
        self.more_ids.choices = choices

    def count(self) -> int:
        """How many tasters are named here."""
        return len(set(self.more_ids.data or ())) + len(self.more_names.names)
