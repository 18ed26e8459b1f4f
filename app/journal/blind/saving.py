"""Writing blind tests, within the caller's transaction. Every step happens once or not at all."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from secrets import SystemRandom
from typing import Any, cast

from sqlalchemy import ColumnElement, delete, func, select, update
from sqlalchemy.engine import CursorResult
from sqlalchemy.orm import Session

from app.journal.blind import open as queries
from app.journal.rows import set_columns
from app.journal.tastings import taster_named
from app.models import BlindTaster, BlindTest, PairingCode, Trial
from app.sensory.blind.serving import Serving, balanced, brewing_order, draw
from app.sensory.terms import End, Mark, Pouring

SOURCE = SystemRandom()


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
    _lock(session, test_id)
    existing = {taster.taster_id for taster in queries.tasters_of(session, test_id)}
    new = [taster_id for taster_id in tasters if taster_id not in existing]
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


def draw_trial(
    session: Session, test: BlindTest, taster_id: int, now: datetime, *, warm_up: bool = False
) -> int:
    """The id of a trial drawn and sealed now, or of the one the taster has not finished."""
    _lock(session, test.id)
    unfinished = queries.open_trial(session, test.id, taster_id)
    if unfinished is not None:
        return unfinished
    served = draw(
        test.method,
        SOURCE,
        more=test.more or "B",
        control_in=0 if warm_up or test.pouring == "solo" else test.control_in,
        avoid=queries.codes_used(session),
    )
    return _seal(session, test, taster_id, served, now, warm_up=warm_up)


def deal(session: Session, test: BlindTest, tasters: list[int], now: datetime) -> None:
    """One trial for each taster of a panel, all sealed at once; a second time changes nothing."""
    _lock(session, test.id)
    dealt_before = select(Trial.id).where(Trial.test_id == test.id, Trial.voided_at.is_(None))
    if session.scalar(dealt_before.limit(1)):
        return
    servings = balanced(test.method, len(tasters), SOURCE, feedback=False, more=test.more or "B")
    for taster_id, served in zip(tasters, servings, strict=True):
        _seal(session, test, taster_id, served, now)


def _lock(session: Session, test_id: int) -> None:
    """Whoever draws or joins at this moment waits until this transaction ends."""
    session.execute(select(BlindTest.id).where(BlindTest.id == test_id).with_for_update())


def _seal(
    session: Session,
    test: BlindTest,
    taster_id: int,
    served: Serving,
    now: datetime,
    *,
    warm_up: bool = False,
) -> int:
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
        brewed_first=brewing_order(SOURCE)[0] if fresh else None,
        drawn_at=now,
    )
    session.add(trial)
    session.flush()
    return trial.id


def claim(session: Session, trial_id: int, token_hash: str, now: datetime) -> bool:
    """Whether this browser pours the trial from now on; no other browser can take it over."""
    return _claim(session, Trial.id == trial_id, token_hash, now)


def serve(session: Session, trial_id: int, token_hash: str, now: datetime) -> bool:
    """Whether the pourer covered the key now; only a solo trial is served without a claim."""
    pourer = (Trial.pouring == "solo") | (Trial.poured_by == token_hash)
    return _set(session, Trial.id == trial_id, pourer, Trial.served_at.is_(None), served_at=now)


def claim_all(session: Session, test_id: int, token_hash: str, now: datetime) -> None:
    """This browser pours every trial of the test that nobody has claimed yet."""
    _claim(session, Trial.test_id == test_id, token_hash, now)


def _claim(session: Session, of: ColumnElement[bool], token_hash: str, now: datetime) -> bool:
    free = (Trial.poured_by.is_(None), Trial.served_at.is_(None), Trial.pouring != "solo")
    return _set(session, of, *free, poured_by=token_hash, claimed_at=now)


def serve_all(session: Session, test_id: int, token_hash: str, now: datetime) -> None:
    """The pourer has covered the keys of all the trials they claimed."""
    mine = (Trial.test_id == test_id, Trial.poured_by == token_hash, Trial.served_at.is_(None))
    _set(session, *mine, served_at=now)


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
        session, Trial.id == trial_id, *waits,
        answer=place, answered_at=now, answered_by=token_hash, sure=sure, note=note,
    )  # fmt: skip


def lift(session: Session, trial_id: int, mark: Mark, now: datetime) -> bool:
    """Whether this is the mark read under the cup, which shows the key of a solo trial."""
    waits = (Trial.pouring == "solo", Trial.answered_at.is_not(None), Trial.lifted.is_(None))
    return _set(session, Trial.id == trial_id, *waits, lifted=mark, seen_at=now)


def see(session: Session, trial_id: int, now: datetime) -> bool:
    """Whether the key of an answered trial is shown now, for the first time."""
    ready = (Trial.answered_at.is_not(None), Trial.seen_at.is_(None), Trial.pouring != "solo")
    return _set(session, Trial.id == trial_id, *ready, seen_at=now)


def void(session: Session, trial_id: int, reason: str, now: datetime) -> bool:
    """Whether the trial is void now; an answer given before stands."""
    waits = (Trial.id == trial_id, Trial.answered_at.is_(None))
    return _set(session, *waits, voided_at=now, void_reason=reason)


def end(session: Session, test_id: int, how: End, now: datetime, why: str = "") -> bool:
    """Whether the test ended now; one that has ended stays as it ended."""
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
