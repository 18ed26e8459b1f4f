"""The forms of questions: what is asked, the answer, and what to put under it."""

from wtforms import Form, HiddenField
from wtforms.validators import ValidationError

from app.journal.pairs.setup import LABELS
from app.journal.questions import LINKED, Kind
from app.models.base import NOTE_CHARS, WORDS_CHARS
from app.models.questions import QUESTION_STATES
from app.web.fields import LineField, NoteField, WordField, number_or_none
from app.web.several import ManyField


def _ticked(labels: list[str] | None) -> list[str]:
    """An empty one is what a form sends that has nothing ticked."""
    return [label for label in labels or [] if label]


class QuestionForm(Form):
    """`kind` and `row_id` name the thing that the question was asked about, if there is one."""

    text = LineField("Question", longest=WORDS_CHARS, required=True)
    factor = ManyField(
        "What it is about", choices={label: label for label in LABELS.values()}, filters=[_ticked]
    )
    kind = HiddenField()
    row_id = HiddenField()


class AnswerForm(Form):
    answer = NoteField("Answer", longest=NOTE_CHARS)
    state = WordField("State", QUESTION_STATES)

    def validate_answer(self, field: NoteField) -> None:
        if self.state.data == "answered" and not field.data:
            raise ValidationError("Write the answer first, or leave the question open.")


class TieForm(Form):
    """A question and a thing; `back` is the page to return to, the question's or the thing's."""

    question_id = HiddenField()
    kind = HiddenField()
    row_id = HiddenField()
    back = HiddenField()


def thing_of(form: QuestionForm | TieForm) -> tuple[Kind, int] | None:
    """The thing that a form names, if it names one."""
    kind, row_id = form.kind.data, number_or_none(form.row_id.data)
    return (kind, row_id) if kind in LINKED and row_id else None
