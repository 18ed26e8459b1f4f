"""Comparisons of groups under a question: what was read of them when they were put there."""

from collections.abc import Mapping
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import while_unchanged
from app.journal.rows import columns_of, rows_as
from app.models import Question, QuestionGroups

MOST_UNDER_ONE = 20
FULL = f"A question holds at most {MOST_UNDER_ONE} comparisons of groups: ask a narrower one."


class GroupsUnder(NamedTuple):
    """A comparison under a question; `query` is that of its address."""

    id: int
    question_id: int
    query: str
    words: str
    said: str
    tied_at: datetime


def groups_under(session: Session, question_id: int) -> list[GroupsUnder]:
    """In the order they were put there."""
    return groups_by_question(session).get(question_id, [])


def groups_by_question(session: Session) -> Mapping[int, list[GroupsUnder]]:
    """Those of all questions, which are few and read once for as long as nothing changes."""
    return while_unchanged(session, "groups under questions", lambda: _by_question(session))


def _by_question(session: Session) -> dict[int, list[GroupsUnder]]:
    found: dict[int, list[GroupsUnder]] = {}
    query = select(*columns_of(GroupsUnder, QuestionGroups)).order_by(QuestionGroups.id)
    for row in rows_as(GroupsUnder, session, query):
        found.setdefault(row.question_id, []).append(row)
    return found


def put_groups_under(
    session: Session, question_id: int, query: str, words: str, said: str, now: datetime
) -> None:
    """Put a comparison under a question; if it is there already, what was read is read anew.

    Raises LookupError if there is no such question, ValueError with a sentence if there are too
    many under it.
    """
    if session.get(Question, question_id, with_for_update=True) is None:
        raise LookupError(question_id)
    of_question = QuestionGroups.question_id == question_id
    row = session.scalar(select(QuestionGroups).where(of_question, QuestionGroups.query == query))
    if row is None:
        if (session.scalar(select(func.count()).where(of_question)) or 0) >= MOST_UNDER_ONE:
            raise ValueError(FULL)
        row = QuestionGroups(question_id=question_id, query=query)
        session.add(row)
    row.words, row.said, row.tied_at = words, said, now


def take_groups_off(session: Session, link_id: int) -> int | None:
    """The question that the comparison was under; None if it was under none."""
    row = session.get(QuestionGroups, link_id)
    if row is None:
        return None
    session.delete(row)
    return row.question_id
