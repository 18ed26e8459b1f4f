"""Writing blind tests, within the caller's transaction. Every step happens once or not at all."""

from __future__ import annotations

from datetime import datetime
from secrets import SystemRandom
from typing import Any, cast

from sqlalchemy import ColumnElement, func, select, update
from sqlalchemy.engine import CursorResult
from sqlalchemy.orm import Session

from ..models import BlindTaster, BlindTest, Trial
from ..sensory.serving import Cup, Form, brewing_order, draw
from . import queries


def add_test(session: Session, test: BlindTest, taster_id: int, now: datetime) -> BlindTest:
    """A new test with its taster; the same form sent twice gives the one already there."""
    there = session.scalars(select(BlindTest).filter_by(entry_key=test.entry_key)).first()
    if there is not None:
        return there
    test.made_at = now
    session.add(test)
    session.flush()
    session.add(BlindTaster(test_id=test.id, taster_id=taster_id, joined_at=now))
    return test


def draw_trial(
    session: Session, test: BlindTest, taster_id: int, now: datetime, *, warm_up: bool = False
) -> int:
    """Draw and seal a trial; if the taster has one that is not finished, that one."""
    there = queries.open_trial(session, test.id, taster_id)
    if there is not None:
        return there
    source = SystemRandom()
    served = draw(
        cast(Form, test.method),
        source,
        more=cast(Cup, test.more or "B"),
        control_in=0 if warm_up or test.pouring == "solo" else test.control_in,
        avoid=queries.codes_used(session),
    )
    newest = session.scalar(select(func.max(Trial.number)).where(Trial.test_id == test.id))
    fresh = test.brewing == "fresh pair each trial"
    trial = Trial(
        test_id=test.id,
        taster_id=taster_id,
        number=(newest or 0) + 1,
        pouring=test.pouring,
        warm_up=warm_up,
        is_control=served.control,
        cups="".join(served.cups),
        codes="" if test.pouring == "solo" else " ".join(served.codes),
        brewed_first=brewing_order(source)[0] if fresh else None,
        drawn_at=now,
    )
    session.add(trial)
    session.flush()
    return trial.id


def claim(session: Session, trial_id: int, token_hash: str, now: datetime) -> bool:
    """Whether this browser is now the one that pours; nobody else ever will."""
    free = (Trial.poured_by.is_(None), Trial.served_at.is_(None), Trial.pouring != "solo")
    return _set(session, trial_id, *free, poured_by=token_hash, claimed_at=now)


def serve(session: Session, trial_id: int, token_hash: str, now: datetime) -> bool:
    """Whether who poured now covered the key; without a claim only a solo trial can be served."""
    mine = (Trial.pouring == "solo") | (Trial.poured_by == token_hash)
    return _set(session, trial_id, mine, Trial.served_at.is_(None), served_at=now)


def answer(
    session: Session,
    trial_id: int,
    token_hash: str,
    now: datetime,
    *,
    place: int,
    sure: bool | None,
    note: str,
) -> bool:
    """Whether this was the answer; a trial served takes one, and only one."""
    waits = (Trial.served_at.is_not(None), Trial.answered_at.is_(None))
    return _set(
        session, trial_id, *waits,
        answer=place, answered_at=now, answered_by=token_hash, sure=sure, note=note,
    )  # fmt: skip


def lift(session: Session, trial_id: int, mark: str, now: datetime) -> bool:
    """Whether this is the mark read under the cup, which shows the key of a solo trial."""
    waits = (
        Trial.pouring == "solo",
        Trial.answered_at.is_not(None),
        Trial.lifted.is_(None),
    )
    return _set(session, trial_id, *waits, lifted=mark, seen_at=now)


def see(session: Session, trial_id: int, now: datetime) -> bool:
    """Whether the key of an answered trial is shown now, for the first time."""
    ready = (Trial.answered_at.is_not(None), Trial.seen_at.is_(None), Trial.pouring != "solo")
    return _set(session, trial_id, *ready, seen_at=now)


def void(session: Session, trial_id: int, reason: str, now: datetime) -> bool:
    """Whether the trial is void now; an answer given before stands."""
    return _set(session, trial_id, Trial.answered_at.is_(None), voided_at=now, void_reason=reason)


def end(session: Session, test_id: int, how: str, now: datetime, why: str = "") -> bool:
    """Whether the test ended now; one that has ended stays as it ended."""
    changed = session.execute(
        update(BlindTest)
        .where(BlindTest.id == test_id, BlindTest.ended.is_(None))
        .values(ended=how, stopped_at=now, stopped_why=why)
    )
    return cast(CursorResult[Any], changed).rowcount == 1


def _set(session: Session, trial_id: int, *where: ColumnElement[bool], **values: Any) -> bool:
    changed = session.execute(
        update(Trial)
        .where(Trial.id == trial_id, Trial.voided_at.is_(None), *where)
        .values(**values)
        .execution_options(synchronize_session=False)
    )
    return cast(CursorResult[Any], changed).rowcount == 1
