"""Reading questions: the lists, what is gathered under one, and which a thing belongs to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, func, select
from sqlalchemy.orm import Session

from app.journal.paging import Page, read_page
from app.journal.questions import LINKED, Kind, Linked
from app.models import (
    BlindTest,
    Brew,
    Question,
    QuestionBlindTest,
    QuestionBrew,
    QuestionSideBySide,
    SideBySide,
)
from app.text import search_text

MOST_OPEN = 50
MOST_WORDS = 8

Ids = Sequence[int] | None


def saying(session: Session, words: str) -> Ids:
    """Questions with every word in their text, factor or answer; None for no words.

    Compared here, not in the database: SQLite folds the case of ASCII letters only.
    """
    wanted = search_text(words).split()[:MOST_WORDS]
    if not wanted:
        return None
    query = select(Question.id, Question.text, Question.factor, Question.answer)
    found = []
    for question_id, *texts in session.execute(query.where(Question.binned_at.is_(None))):
        text = search_text(*texts)
        if all(word in text for word in wanted):
            found.append(question_id)
    return found


def open_list(session: Session, ids: Ids) -> Sequence[Any]:
    """Open questions, the newest first; one more than MOST_OPEN when there are more."""
    query = _rows("open", ids).order_by(Question.asked_at.desc(), Question.id.desc())
    return session.execute(query.limit(MOST_OPEN + 1)).all()


def answered_page(session: Session, ids: Ids, args: Mapping[str, str]) -> Page[Any]:
    """Answered questions, the last asked first."""
    return read_page(
        lambda limited: session.execute(limited).all(),
        _rows("answered", ids),
        Question.asked_at,
        Question.id,
        lambda row: (row.asked_at, row.id),
        args,
    )


def _rows(state: str, ids: Ids) -> Select[*tuple[Any, ...]]:
    counts = [_count(kind, tied).label(f"{kind}s") for kind, tied in LINKED.items()]
    query = select(
        Question.id,
        Question.text,
        Question.factor,
        Question.asked_at,
        Question.answered_at,
        Question.answer,
        *counts,
    ).where(Question.state == state, Question.binned_at.is_(None))
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


@dataclass(frozen=True, slots=True)
class Tied:
    """What is tied to a question, in order of time; things in the bin are only counted."""

    brew_ids: list[int]
    pairs: list[Any]
    tests: list[BlindTest]
    in_the_bin: int


def tied_to(session: Session, question_id: int) -> Tied:
    brews = session.execute(
        select(Brew.id, Brew.binned_at)
        .join(QuestionBrew, _link("brew", question_id))
        .order_by(Brew.brewed_at, Brew.id)
    ).all()
    pairs = session.execute(
        select(
            SideBySide.id,
            SideBySide.brew_a_id,
            SideBySide.brew_b_id,
            SideBySide.saved_at,
            SideBySide.preference,
            SideBySide.note,
            SideBySide.binned_at,
        )
        .join(QuestionSideBySide, _link("side_by_side", question_id))
        .order_by(SideBySide.saved_at, SideBySide.id)
    ).all()
    tests = session.scalars(
        select(BlindTest)
        .join(QuestionBlindTest, _link("blind_test", question_id))
        .order_by(BlindTest.made_at, BlindTest.id)
    ).all()
    binned = [row for rows in (brews, pairs, tests) for row in rows if row.binned_at]
    return Tied(
        [row.id for row in brews if not row.binned_at],
        [row for row in pairs if not row.binned_at],
        [test for test in tests if not test.binned_at],
        len(binned),
    )


def _link(kind: Kind, question_id: int) -> ColumnElement[bool]:
    tied = LINKED[kind]
    return and_(tied.column == tied.thing.id, tied.link.question_id == question_id)


def there_is(session: Session, kind: Kind, row_id: int) -> bool:
    return session.get(LINKED[kind].thing, row_id) is not None
