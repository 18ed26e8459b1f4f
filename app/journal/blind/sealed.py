"""Reading keys, each query with the condition under which its key may be seen in its WHERE: by the
person who pours, until they cover it, and by all once the trial is finished."""

from collections.abc import Iterable
from datetime import UTC, datetime
from typing import NamedTuple

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from app.journal.blind.open import MARK_WAITS, is_finished, trial_query
from app.journal.rows import columns_of, rows_as
from app.models import Trial
from app.sensory.terms import MARK_LOST, Letter, Mark, Pouring


class Key(NamedTuple):
    """What a trial is poured from: its cups, such as ABA, and the letter brewed first."""

    trial_id: int
    cups: str
    is_control: bool
    brewed_first: Letter | None


class FinishedTrial(NamedTuple):
    """An answer with its key; a mark that is overdue is lost."""

    id: int
    test_id: int
    taster_id: int
    person_id: int
    taster_name: str
    pouring: Pouring
    warm_up: bool
    is_control: bool
    cups: str
    answered_at: datetime
    answer: int
    sure: bool | None
    lifted: Mark | None
    seen_at: datetime | None

    @property
    def late(self) -> bool:
        """Whether its mark was lost because nobody read it in time."""
        read_at = self.seen_at or datetime.max.replace(tzinfo=UTC)
        return self.lifted == MARK_LOST and read_at - self.answered_at >= MARK_WAITS


def finished_by_test(
    session: Session, test_ids: Iterable[int], now: datetime
) -> dict[int, list[FinishedTrial]]:
    """Finished trials by test, in the order answered."""
    query = (
        trial_query(FinishedTrial)
        .where(Trial.test_id.in_(list(test_ids)), is_finished(now))
        .order_by(Trial.answered_at, Trial.id)
    )
    by_test: dict[int, list[FinishedTrial]] = {}
    for row in rows_as(FinishedTrial, session, query):
        overdue = row.pouring == "solo" and row.lifted is None
        read = row._replace(lifted=MARK_LOST) if overdue else row
        by_test.setdefault(row.test_id, []).append(read)
    return by_test


def drawn_so_far(session: Session, test_id: int) -> tuple[int, int]:
    """How many trials of a test are drawn and not void, A against A apart: for the lot only."""
    drawn = (Trial.test_id == test_id, Trial.voided_at.is_(None), Trial.warm_up.is_(False))
    counts = select(Trial.is_control, func.count()).where(*drawn).group_by(Trial.is_control)
    number = dict(session.execute(counts).all())
    return number.get(False, 0), number.get(True, 0)


def keys_for_pourer(session: Session, test_id: int, token_hash: str) -> dict[int, Key]:
    """The keys of all trials of a test that the browser claimed and has not covered, by trial."""
    pours = (Trial.poured_by == token_hash, Trial.served_at.is_(None), Trial.pouring != "solo")
    keys = _keys(session, Trial.test_id == test_id, *pours)
    return {key.trial_id: key for key in keys}


def key_for_solo(session: Session, trial_id: int) -> Key | None:
    """Which mark gets which brew, until the tray was turned."""
    return _key(session, trial_id, Trial.served_at.is_(None), Trial.pouring == "solo")


def key_of_finished(session: Session, trial_id: int, now: datetime) -> Key | None:
    return _key(session, trial_id, is_finished(now))


def _key(session: Session, trial_id: int, *allowed: ColumnElement[bool]) -> Key | None:
    return next(iter(_keys(session, Trial.id == trial_id, *allowed)), None)


def _keys(session: Session, *allowed: ColumnElement[bool]) -> list[Key]:
    columns = columns_of(Key, Trial, trial_id=Trial.id)
    return rows_as(Key, session, select(*columns).where(Trial.voided_at.is_(None), *allowed))
