"""Writing blind tests, within the caller's transaction. Every step happens once or not at all.

Trials are drawn in drawing.py.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple, cast

from sqlalchemy import ColumnElement, delete, update
from sqlalchemy.engine import CursorResult
from sqlalchemy.orm import Session

from app.journal.blind import open as queries
from app.journal.people import people
from app.journal.rows import set_columns
from app.journal.tastings import taster_named
from app.models import BlindTaster, BlindTest, PairingCode, Trial
from app.sensory.terms import MARK_LOST, End, Mark, Pouring


class Browser(NamedTuple):
    """Who pours or answers: the hash of a browser's secret, and its network address."""

    token_hash: str
    address: str


@dataclass(frozen=True, slots=True)
class BlindTestChanges:
    """What may change of a test once trials were drawn; `pouring` holds from the next trial on."""

    title: str
    pouring: Pouring
    note: str


def add_test(session: Session, test: BlindTest, tasters: list[int], now: datetime) -> BlindTest:
    """A new test with its tasters."""
    test.made_at = now
    session.add(test)
    session.flush()
    add_tasters(session, test.id, tasters, now)
    return test


def add_tasters(session: Session, test_id: int, tasters: list[int], now: datetime) -> int:
    """Add tasters to a test; returns how many of them are new to it."""
    seated = (taster.taster_id for taster in queries.tasters_of(session, test_id))
    there = people(session, seated)
    new = [taster_id for taster_id in tasters if taster_id not in there]
    session.add_all(
        BlindTaster(test_id=test_id, taster_id=taster_id, joined_at=now) for taster_id in new
    )
    return len(new)


def existing_or_new_tasters(
    session: Session, ids: Iterable[int], names: Iterable[str]
) -> list[int]:
    """The ids of tasters, each once and in the order given; a name not known is a new taster."""
    return list(dict.fromkeys([*ids, *(taster_named(session, name) for name in names)]))


def change_test(session: Session, test_id: int, changes: BlindTestChanges) -> None:
    set_columns(session.get_one(BlindTest, test_id), changes)


def claim(session: Session, trial_id: int, by: Browser, now: datetime) -> bool:
    """Whether this browser pours the trial from now on; no other browser can take it over."""
    return _claim(session, Trial.id == trial_id, by, now)


def serve(session: Session, trial_id: int, token_hash: str, now: datetime) -> bool:
    """Whether the pourer covered the key now; only a solo trial is served without a claim."""
    pourer = (Trial.pouring == "solo") | (Trial.poured_by == token_hash)
    return _set(session, Trial.id == trial_id, pourer, Trial.served_at.is_(None), served_at=now)


def claim_all(session: Session, test_id: int, by: Browser, now: datetime) -> None:
    """This browser pours every trial of the test that nobody has claimed yet."""
    _claim(session, Trial.test_id == test_id, by, now)


def _claim(session: Session, of: ColumnElement[bool], by: Browser, now: datetime) -> bool:
    free = (Trial.poured_by.is_(None), Trial.served_at.is_(None), Trial.pouring != "solo")
    claimed = {"poured_by": by.token_hash, "poured_from": by.address, "claimed_at": now}
    return _set(session, of, *free, **claimed)


def serve_all(session: Session, test_id: int, token_hash: str, now: datetime) -> None:
    """The pourer has covered the keys of all the trials they claimed."""
    mine = (Trial.test_id == test_id, Trial.poured_by == token_hash, Trial.served_at.is_(None))
    _set(session, *mine, served_at=now)


def answer(
    session: Session,
    trial_id: int,
    by: Browser,
    now: datetime,
    *,
    place: int,
    sure: bool | None,
    note: str,
) -> bool:
    """Whether this was the answer; a trial served takes one, and only one."""
    waits = (Trial.served_at.is_not(None), Trial.answered_at.is_(None))
    return _set(
        session, Trial.id == trial_id, *waits, answer=place, answered_at=now,
        answered_by=by.token_hash, answered_from=by.address, sure=sure, note=note,
    )  # fmt: skip


def lift(session: Session, trial_id: int, mark: Mark, now: datetime) -> bool:
    """Whether this is the mark read under the cup, which shows the key of a solo trial."""
    waits = (Trial.pouring == "solo", Trial.answered_at.is_not(None), Trial.lifted.is_(None))
    return _set(session, Trial.id == trial_id, *waits, lifted=mark, seen_at=now)


def lose_overdue_marks(session: Session, test_id: int, now: datetime) -> None:
    """Marks that nobody read in time are lost from now on, so that the answers count as they are
    and nobody is held up any longer."""
    overdue = (Trial.test_id == test_id, queries.is_overdue(now))
    _set(session, *overdue, lifted=MARK_LOST, seen_at=now)


def see(session: Session, trial_id: int, now: datetime) -> bool:
    """Whether the key of an answered trial is shown now, for the first time."""
    ready = (Trial.answered_at.is_not(None), Trial.seen_at.is_(None), Trial.pouring != "solo")
    return _set(session, Trial.id == trial_id, *ready, seen_at=now)


def void(session: Session, trial_id: int, reason: str, now: datetime) -> bool:
    """Whether the trial is void now; an answer given before stands."""
    waits = (Trial.id == trial_id, Trial.answered_at.is_(None))
    return _set(session, *waits, voided_at=now, void_reason=reason)


def end(session: Session, test_id: int, how: End, now: datetime, why: str = "") -> bool:
    """Whether the test ended now; one that has ended stays as it ended, and one with an unfinished
    trial goes on until that is answered or void."""
    if queries.open_trial(session, test_id, now):
        return False
    changed = session.execute(
        update(BlindTest)
        .where(BlindTest.id == test_id, BlindTest.ended.is_(None))
        .values(ended=how, stopped_at=now, stopped_why=why)
    )
    void_guest_codes(session, test_id)
    return cast(CursorResult[Any], changed).rowcount == 1


def void_guest_codes(session: Session, test_id: int) -> None:
    """A test that ended or went to the bin admits no further guest, were it brought back too."""
    session.execute(delete(PairingCode).where(PairingCode.guest_of_test_id == test_id))


def _set(session: Session, *where: ColumnElement[bool], **values: object) -> bool:
    """Whether any trial that is not void was there to be changed."""
    changed = session.execute(
        update(Trial)
        .where(Trial.voided_at.is_(None), *where)
        .values(**values)
        .execution_options(synchronize_session=False)
    )
    return cast(CursorResult[Any], changed).rowcount > 0
