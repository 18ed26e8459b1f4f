"""The form of one ask: its words, its day, where it came from, the question it is under."""

from wtforms import Form
from wtforms.validators import ValidationError

from app.models import Ask
from app.models.base import NAME_CHARS
from app.models.questions import ASK_CHARS
from app.web.fields import DayField, LineField, NoteField, PickField


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
