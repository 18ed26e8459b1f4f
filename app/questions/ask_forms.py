"""Forms of asks: one ask, and several that are gathered under a question."""

from collections.abc import Sequence
from dataclasses import dataclass

from flask import request
from wtforms import Form
from wtforms.validators import ValidationError

from app.journal.asks.inbox import MOST_SHOWN
from app.models import Ask
from app.models.base import NAME_CHARS, WORDS_CHARS
from app.models.questions import ASK_CHARS
from app.sensory.gathered.words import counted
from app.web.fields import DayField, LineField, NoteField, PickField, number_or_none


class AskForm(Form):
    text = NoteField("In their own words", longest=ASK_CHARS)
    asked_on = DayField("Asked on", required=True)
    source = LineField("Where it came from", longest=NAME_CHARS)
    question_id = PickField("Question")

    def validate_text(self, field: NoteField) -> None:
        if not field.data and self.question_id.data is None:
            raise ValidationError("Please fill this in: an ask without words needs a question.")


def form_of(ask: Ask) -> AskForm:
    names = ("text", "asked_on", "source", "question_id")
    return AskForm(data={name: getattr(ask, name) for name in names})


@dataclass(frozen=True, slots=True)
class Refused:
    """What was sent and cannot be gathered so: shown again beside what is wrong with it."""

    ask_ids: list[int]
    text: str
    message: str


class GatherForm(Form):
    """The ticked asks, the question they go under, and the words of a new one."""

    question_id = PickField("Under")
    text = LineField("A new question in these words", longest=WORDS_CHARS)
    is_there, words = False, ""

    @property
    def ask_ids(self) -> list[int]:
        return asks_sent()

    def suggests(self, texts: Sequence[str]) -> None:
        """The words of the asks that are still there: the first stand for the new question's."""
        self.is_there = bool(texts)
        self.words = (self.text.data or next(filter(None, texts), ""))[:WORDS_CHARS]

    def validate_text(self, field: LineField) -> None:
        if not self.ask_ids:
            raise ValidationError("Tick at least one ask.")
        if not self.is_there:
            raise ValidationError("These asks are no longer there: look at the inbox again.")
        if not self.words and not self.question_id.data:
            raise ValidationError("Say what is asked: these asks have no words of their own.")

    def refused(self) -> Refused:
        errors = [text for texts in self.errors.values() for text in texts]
        return Refused(self.ask_ids, self.text.data or "", " ".join(map(str, errors)))


def asks_sent() -> list[int]:
    """The numbers of the asks that a form names, at most as many as the inbox shows."""
    numbers = map(number_or_none, request.form.getlist("ask"))
    return list(dict.fromkeys(filter(None, numbers)))[:MOST_SHOWN]


def noted(new: int, there_already: int) -> str:
    """How many lines became asks."""
    said = f"{counted(new, 'ask')} noted."
    if there_already:
        verb = "was" if there_already == 1 else "were"
        said += f" {counted(there_already, 'line')} {verb} here already and left out."
    return said
