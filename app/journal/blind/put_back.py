"""Marking the tests of a journal that was put back to an earlier state."""

from collections.abc import Iterable
from contextlib import suppress
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import select, text
from sqlalchemy.orm import Session

from app.database import Database
from app.models import BlindTestMark
from app.seals import STEPS, Seals


class TakenSteps(NamedTuple):
    """How many steps a test has taken."""

    test_id: int
    key: str
    ended: str | None
    steps: int


def mark_put_back(
    session: Session, seals: Seals, now: datetime, test_id: int | None = None
) -> None:
    """Give a mark to each test (or the one named) that is remembered with more steps than it has,
    and bring back a mark that was itself put back."""
    known = seals.read()
    if not known.steps:
        return
    behind = {}
    for test in steps_of(session, test_id):
        marks = known.put_back.get(test.key, set())
        if known.steps.get(test.key, 0) > test.steps:
            behind[test.key] = test.steps
            marks = marks | {now}
        _add_marks(session, test.test_id, marks)
    with suppress(OSError):  # it is then found, and marked, once more
        seals.note_put_back(behind, now)


def mark_if_put_back(database: Database, seals: Seals, now: datetime) -> None:
    """Mark the tests of a journal that was put back while it was closed."""
    if seals.path.exists():
        with database.write_session() as session, session.begin():
            mark_put_back(session, seals, now)


def _add_marks(session: Session, test_id: int, wanted: Iterable[datetime]) -> None:
    if wanted:
        of_test = select(BlindTestMark.put_back_at).where(BlindTestMark.test_id == test_id)
        there = set(session.scalars(of_test))
        new = [BlindTestMark(test_id=test_id, put_back_at=at) for at in wanted if at not in there]
        session.add_all(new)
        session.flush()


def steps_of(session: Session, test_id: int | None = None) -> list[TakenSteps]:
    """How many steps tests have taken, as `app.seals` counts them."""
    session.flush()
    query, values = STEPS, {}
    if test_id is not None:
        query, values = (
            STEPS.replace("GROUP BY", "WHERE test.id = :test GROUP BY"),
            {"test": test_id},
        )
    return [TakenSteps(*row) for row in session.execute(text(query), values)]
