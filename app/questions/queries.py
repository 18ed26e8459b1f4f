"""Reading questions: the lists, and those with given words."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from app.journal.asks.reading import times_asked
from app.journal.paging import Page, read_page
from app.journal.questions import LINKED, Kind, Linked
from app.journal.rows import Query, columns_of, rows_as
from app.models import Question
from app.text import search_text

MOST_OPEN = 50
MOST_WORDS = 8

Ids = Sequence[int] | None


class QuestionRow(NamedTuple):
    """A question in a list, and how many of each kind are gathered under it."""

    id: int
    text: str
    factors: list[str]
    state: str
    asked_at: datetime
    answered_at: datetime | None
    answer: str
    times: int
    brews: int
    side_by_sides: int
    blind_tests: int


def ids_with_words(session: Session, words: str) -> Ids:
    """Questions with every word in their text, factor or answer; None for no words.

    Compared here, not in the database: SQLite folds the case of ASCII letters only.
    """
    wanted = search_text(words).split()[:MOST_WORDS]
    if not wanted:
        return None
    query = select(Question.id, Question.text, Question.answer, Question.factors)
    matching = []
    for question_id, *texts, factors in session.execute(query.where(Question.binned_at.is_(None))):
        text = search_text(*texts, *factors)
        if all(word in text for word in wanted):
            matching.append(question_id)
    return matching


def open_list(session: Session, ids: Ids) -> list[QuestionRow]:
    """Open questions, the newest first; one more than MOST_OPEN when there are more."""
    query = _rows("open", ids).order_by(Question.asked_at.desc(), Question.id.desc())
    return rows_as(QuestionRow, session, query.limit(MOST_OPEN + 1))


def answered_page(session: Session, ids: Ids, args: Mapping[str, str]) -> Page[QuestionRow]:
    """Answered questions, the last asked first."""
    return read_page(
        lambda limited: rows_as(QuestionRow, session, limited),
        _rows("answered", ids),
        Question.asked_at,
        Question.id,
        lambda row: (row.asked_at, row.id),
        args,
    )


def _rows(state: str, ids: Ids) -> Query:
    counts = {f"{kind}s": _count(kind, tied) for kind, tied in LINKED.items()}
    query = select(*columns_of(QuestionRow, Question, times=times_asked(), **counts))
    query = query.where(Question.state == state, Question.binned_at.is_(None))
    return query if ids is None else query.where(Question.id.in_(ids))


def _count(kind: Kind, tied: Linked) -> ColumnElement[int]:
    """How many things of a kind are under a question, those in the bin left out."""
    return (
        select(func.count())
        .select_from(tied.link)
        .join(tied.thing, tied.thing.id == tied.column)
        .where(tied.link.question_id == Question.id, tied.thing.binned_at.is_(None))
        .correlate(Question)
        .scalar_subquery()
    )
