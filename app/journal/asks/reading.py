"""Reading asks: the inbox, those under a question, and how often each question was asked."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import NamedTuple, TypeVar

from sqlalchemy import ColumnElement, Select, func, select
from sqlalchemy.orm import Session

from app.journal.rows import Query, columns_of, rows_as
from app.models import Ask, Question

V = TypeVar("V", int, date)


class AskRow(NamedTuple):
    id: int
    text: str
    asked_on: date
    source: str
    question_id: int | None
    binned_at: datetime | None


class AskedQuestion(NamedTuple):
    """A question, what it is about, and how often it was asked, `last_on` the last time."""

    id: int
    text: str
    factors: list[str]
    state: str
    times: int
    last_on: date | None


def times_asked() -> ColumnElement[int]:
    """How many asks are under a question, those in the bin left out."""
    return _of_asks(select(func.count(Ask.id)))


def last_asked_on() -> ColumnElement[date]:
    return _of_asks(select(func.max(Ask.asked_on)))


def _of_asks(what: Select[V]) -> ColumnElement[V]:
    """Of the asks of each question of a list."""
    return (
        what.where(Ask.question_id == Question.id, Ask.binned_at.is_(None))
        .correlate(Question)
        .scalar_subquery()
    )


def asked_questions(session: Session) -> list[AskedQuestion]:
    """Questions that are neither in the bin nor answered nor set aside, the most often asked first;
    one statement."""
    times, last_on = times_asked().label("times"), last_asked_on().label("last_on")
    query = select(*columns_of(AskedQuestion, Question, times=times, last_on=last_on))
    query = query.where(Question.state == "open", Question.binned_at.is_(None))
    return rows_as(AskedQuestion, session, query.order_by(times.desc(), Question.id.desc()))


def asks_under(session: Session, question_id: int) -> list[AskRow]:
    """The asks of a question, the last first."""
    return rows_as(AskRow, session, _asks().where(Ask.question_id == question_id))


def inbox(session: Session, most: int, before: int | None = None) -> list[AskRow]:
    """Asks that are under no question yet, the last noted first, below a number if one is given."""
    waiting = _asks().where(Ask.question_id.is_(None))
    if before:
        waiting = waiting.where(Ask.id < before)
    return rows_as(AskRow, session, waiting.order_by(None).order_by(Ask.id.desc()).limit(most))


def count_waiting(session: Session) -> int:
    waiting = select(func.count(Ask.id)).where(Ask.question_id.is_(None), Ask.binned_at.is_(None))
    return session.scalar(waiting) or 0


def _asks() -> Query:
    query = select(*columns_of(AskRow, Ask)).where(Ask.binned_at.is_(None))
    return query.order_by(Ask.asked_on.desc(), Ask.id.desc())


def texts_of(session: Session, ask_ids: Sequence[int]) -> list[str]:
    """The words of those of the asks that are not in the bin."""
    query = select(Ask.text).where(Ask.id.in_(ask_ids), Ask.binned_at.is_(None))
    return list(session.scalars(query.order_by(Ask.id)))
