"""Drawing trials. Whether a test takes another one is looked at in the transaction that draws it,
alone with the test (`locked`), so that a stop, a draw and a taster who joins cannot cross."""

from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from secrets import SystemRandom

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from app.journal.blind import open as queries
from app.journal.blind.answers import answers_of
from app.journal.blind.packets import codes_of_packets, next_packet, serving_of
from app.journal.blind.plan import refused_pouring
from app.journal.blind.saving import add_tasters
from app.journal.blind.sealed import drawn_so_far
from app.journal.blind.standing import standing
from app.journal.blind.tasters import (
    MISSING,
    TasterProgress,
    progress_of_tasters,
    refused_draw,
    refused_join,
)
from app.journal.people import people
from app.models import BlindPacket, BlindTest, LeftTrial, Trial
from app.sensory.blind.serving import Serving, balanced, brewing_order, draw

SOURCE = SystemRandom()
ENDED = "This test has ended: no more trials, so that what it says stays true."
MET = (
    "The rule of this test is met: no more trials. It ends when those that are open are answered "
    "or void."
)
ALL_DRAWN = (
    "All trials of this plan are drawn: the test ends once those that are open are answered. A "
    "void one makes room for another."
)
DEALT = "The orders of this panel are dealt. A taster whose trial is void can have a new one."


class Refused(Exception):
    """The test takes no such step; the text says why."""


def locked(session: Session, test_id: int) -> BlindTest | None:
    """The test as it stands; others who write to it wait until this transaction ends.

    On SQLite every writing transaction is alone from its start; on PostgreSQL this locks the row.
    """
    return session.get(BlindTest, test_id, with_for_update=True, populate_existing=True)


def progress(session: Session, test: BlindTest) -> list[TasterProgress]:
    """How far each taster of a test is, without results."""
    trials = queries.trials_of(session, test.id)
    return progress_of_tasters(test, queries.tasters_of(session, test.id), trials, ())


def draw_trial(
    session: Session, test: BlindTest, taster_id: int, now: datetime, *, warm_up: bool = False
) -> int:
    """The id of a trial drawn and sealed now, or of the one the taster has not finished.

    `test` is `locked`. Raises Refused.
    """
    everybody = progress(session, test)
    taster = next((one for one in everybody if one.taster_id == taster_id), None)
    if taster and taster.open_trial:
        return taster.open_trial.id
    why = _refused(session, test, now) or (taster and refused_draw(test, everybody, taster))
    if why:
        raise Refused(why)
    packet = None if warm_up else next_packet(session, test)
    if packet:
        return _take(session, test, taster_id, packet, now)
    controls, of = (0, 1) if warm_up else _lot(session, test)
    served = draw(
        test.method,
        SOURCE,
        more=test.more or "B",
        controls=controls,
        of=of,
        avoid=[*codes_of_packets(session), *queries.codes_used(session)],
        tray=test.pouring == "solo",
    )
    return _seal(session, test, taster_id, served, now, warm_up=warm_up)


def _take(
    session: Session, test: BlindTest, taster_id: int, packet: BlindPacket, now: datetime
) -> int:
    """A trial of what was packed ahead: it is served as it is drawn."""
    trial_id = _seal(session, test, taster_id, serving_of(packet), now)
    trial, packet.trial_id = session.get_one(Trial, trial_id), trial_id
    trial.poured_by, trial.poured_from = packet.packed_by, packet.packed_from
    trial.claimed_at = trial.served_at = now
    session.flush()
    return trial_id


def deal(session: Session, test: BlindTest, now: datetime) -> None:
    """A trial for every taster without an unfinished one; in a panel one each, sealed at once.

    `test` is `locked`. Raises Refused.
    """
    everybody = progress(session, test)
    why = _refused(session, test, now) or (
        _refused_dealing(test, everybody) if test.balanced else None
    )
    if why:
        raise Refused(why)
    tasters = [taster.taster_id for taster in everybody]
    if not test.balanced:
        for taster_id in tasters:
            with suppress(Refused):  # the plan has no trial left for this one
                draw_trial(session, test, taster_id, now)
        return
    servings = balanced(test.method, len(tasters), SOURCE, feedback=False, more=test.more or "B")
    for taster_id, served in zip(tasters, servings, strict=True):
        _seal(session, test, taster_id, served, now)


def join(session: Session, test: BlindTest, tasters: list[int], now: datetime) -> int:
    """How many of these tasters are new at the table of the test, which is `locked`.

    Raises Refused.
    """
    everybody = progress(session, test)
    new = set(tasters) - people(session, (taster.taster_id for taster in everybody))
    why = ENDED if test.ended or test.binned_at else refused_join(test, everybody, len(new))
    if why:
        raise Refused(why)
    return add_tasters(session, test.id, tasters, now)


def _lot(session: Session, test: BlindTest) -> tuple[int, int]:
    """Of how many trials still to be drawn the next one is drawn, the A-against-A ones first."""
    if not test.controls:  # by the odds of an older plan
        return (1, test.control_in) if test.control_in and test.pouring != "solo" else (0, 1)
    real, controls = drawn_so_far(session, test.id)
    left = test.controls - controls
    return left, left + (test.fixed_trials or 0) - real


def _refused(session: Session, test: BlindTest, now: datetime) -> str | None:
    if test.ended or test.binned_at:
        return ENDED
    if standing(test, answers_of(session, test, now)).ends:
        return MET
    if test.controls and not _lot(session, test)[1]:
        return ALL_DRAWN
    return refused_pouring(test, test.pouring)


def _refused_dealing(test: BlindTest, everybody: Sequence[TasterProgress]) -> str | None:
    if any(taster.drawn for taster in everybody):
        return DEALT
    if len(everybody) != test.fixed_trials:
        return MISSING.format(len(everybody), test.fixed_trials)
    return None


def _seal(
    session: Session,
    test: BlindTest,
    taster_id: int,
    served: Serving,
    now: datetime,
    *,
    warm_up: bool = False,
) -> int:
    newest = max(session.scalar(number) or 0 for number in _greatest(test.id))
    fresh = test.brewing == "fresh pair each trial"
    trial = Trial(
        test_id=test.id,
        taster_id=taster_id,
        number=newest + 1,
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


def _greatest(test_id: int) -> tuple[Select[int], Select[int]]:
    """Of the trials here, and of those that were drawn in another copy of the journal."""
    return (
        select(func.max(Trial.number)).where(Trial.test_id == test_id),
        select(func.max(LeftTrial.number)).where(LeftTrial.test_id == test_id),
    )
