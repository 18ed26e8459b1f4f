"""Questions, and what people asked, as tables."""

from datetime import date, datetime
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.as_table import columns
from app.journal.rows import columns_of, rows_as
from app.models import Ask
from app.questions.queries import Listed


class QuestionLine(NamedTuple):
    id: int
    text: str
    about: list[str]
    state: str
    strength: str
    times_asked: int
    asked_at: datetime
    answered_at: datetime | None
    answer: str
    brews: int
    side_by_sides: int
    blind_tests: int


class AskLine(NamedTuple):
    """`question_id` is empty in the inbox."""

    id: int
    text: str
    asked_on: date
    source: str
    question_id: int | None


QUESTION_COLUMNS = columns("question", QuestionLine)
ASK_COLUMNS = columns("ask", AskLine)


def question_line(one: Listed) -> QuestionLine:
    row = one.row
    return QuestionLine(
        row.id, row.text, row.factors, one.state, one.level, row.times, row.asked_at,
        row.answered_at, row.answer, row.brews, row.side_by_sides, row.blind_tests,
    )  # fmt: skip


def every_ask(session: Session) -> list[AskLine]:
    """Those in the inbox and those gathered, the last noted first."""
    query = select(*columns_of(AskLine, Ask)).where(Ask.binned_at.is_(None))
    return rows_as(AskLine, session, query.order_by(Ask.id.desc()))
