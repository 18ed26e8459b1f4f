"""Reading blind tests without their keys: an OpenTrial holds nothing of them (see sealed.py)."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from functools import cache
from typing import NamedTuple

from sqlalchemy import ColumnElement, Select, and_, func, or_, select
from sqlalchemy.orm import Session

from app.journal.paging import Page, read_page
from app.journal.people import called, person
from app.journal.rows import columns_of, row_as, rows_as
from app.models import BlindTaster, BlindTest, Taster, Trial
from app.sensory.terms import Mark, Pouring

SITTING = timedelta(hours=2)
# An answer poured solo waits so long for the mark under its cup; then the mark counts as lost.
MARK_HOURS = 24
MARK_WAITS = timedelta(hours=MARK_HOURS)
MOST_OPEN = 50
CODES_KEPT = 100


class OpenTrial(NamedTuple):
    """A trial as the taster may see it: nothing in it tells the key. Over several tests a taster is
    the person that they are today."""

    id: int
    test_id: int
    taster_id: int
    person_id: int
    taster_name: str
    number: int
    pouring: Pouring
    warm_up: bool
    codes: str
    drawn_at: datetime
    poured_by: str | None
    served_at: datetime | None
    answered_at: datetime | None
    answered_by: str | None
    answer: int | None
    sure: bool | None
    lifted: Mark | None
    seen_at: datetime | None
    note: str
    voided_at: datetime | None
    void_reason: str
    poured_from: str | None
    answered_from: str | None

    def is_late(self, now: datetime) -> bool:
        """Whether its mark was not read in time."""
        waits = self.pouring == "solo" and self.lifted is None
        return waits and self.answered_at is not None and self.answered_at <= now - MARK_WAITS

    @property
    def on_one_device(self) -> bool:
        """Whether one browser, or one network address, poured and answered. Solo, that is so by
        design."""
        browsers, addresses = (
            (self.poured_by, self.answered_by),
            (self.poured_from, self.answered_from),
        )
        return any(one is not None and one == other for one, other in (browsers, addresses))


class TasterRow(NamedTuple):
    """Who tastes in a test; `seat_id` is their place in it."""

    seat_id: int
    taster_id: int
    name: str


class Due(NamedTuple):
    """A blind test to carry on: its open trial, if one was drawn already."""

    test_id: int
    title: str
    several_tasters: bool
    trial_id: int | None
    trials: int


def due(session: Session) -> Due | None:
    """The open test whose latest trial, or else whose plan, is the newest."""
    return row_as(Due, session, _due())


@cache
def _due() -> Select[*tuple[object, ...]]:
    """Created once: the first page asks for it every time."""
    open_trial = (
        select(func.min(Trial.id))
        .where(Trial.test_id == BlindTest.id, _unfinished())
        .correlate(BlindTest)
        .scalar_subquery()
    )
    of_test = select(func.count()).where(Trial.test_id == BlindTest.id).correlate(BlindTest)
    latest = select(func.max(Trial.drawn_at)).where(Trial.test_id == BlindTest.id)
    newest = func.coalesce(latest.correlate(BlindTest).scalar_subquery(), BlindTest.made_at)
    return (
        select(
            BlindTest.id.label("test_id"),
            BlindTest.title,
            BlindTest.several_tasters,
            open_trial.label("trial_id"),
            of_test.scalar_subquery().label("trials"),
        )
        .where(BlindTest.ended.is_(None), BlindTest.binned_at.is_(None))
        .order_by(newest.desc(), BlindTest.id.desc())
        .limit(1)
    )


def open_tests(session: Session) -> list[BlindTest]:
    """Tests that have not ended, the newest first."""
    query = _listed().where(BlindTest.ended.is_(None))
    ordered = query.order_by(BlindTest.made_at.desc(), BlindTest.id.desc())
    return list(session.scalars(ordered.limit(MOST_OPEN)))


def tests_page(session: Session, before: str, most: int) -> Page[BlindTest]:
    """Tests under way and ended, the newest first, from a mark on."""
    return read_page(
        lambda query: session.scalars(query).all(),
        _listed(),
        BlindTest.made_at,
        BlindTest.id,
        lambda test: (test.made_at, test.id),
        {"before": before},
        most,
    )


def ended_page(session: Session, args: Mapping[str, str]) -> Page[BlindTest]:
    return read_page(
        lambda query: session.scalars(query).all(),
        _listed().where(BlindTest.ended.is_not(None)),
        BlindTest.made_at,
        BlindTest.id,
        lambda test: (test.made_at, test.id),
        args,
    )


def _listed() -> Select[BlindTest]:
    return select(BlindTest).where(BlindTest.binned_at.is_(None))


def tasters_of(session: Session, test_id: int) -> list[TasterRow]:
    """Who tastes in a test, in the order they joined."""
    query = (
        select(*columns_of(TasterRow, BlindTaster, seat_id=BlindTaster.id, name=called()))
        .join(Taster, Taster.id == BlindTaster.taster_id)
        .where(BlindTaster.test_id == test_id)
        .order_by(BlindTaster.id)
    )
    return rows_as(TasterRow, session, query)


def open_trial_row(session: Session, trial_id: int) -> OpenTrial | None:
    return row_as(OpenTrial, session, trial_query(OpenTrial).where(Trial.id == trial_id))


def trials_of(session: Session, test_id: int) -> list[OpenTrial]:
    """All trials of a test, the newest first, without their keys."""
    query = trial_query(OpenTrial).where(Trial.test_id == test_id)
    return rows_as(OpenTrial, session, query.order_by(Trial.number.desc()))


def trials_to_pour(session: Session, test_id: int) -> list[OpenTrial]:
    """The trials of a test that somebody else pours and has not served yet, in the order drawn."""
    waits = (Trial.served_at.is_(None), Trial.voided_at.is_(None), Trial.pouring != "solo")
    query = trial_query(OpenTrial).where(Trial.test_id == test_id, *waits)
    return rows_as(OpenTrial, session, query.order_by(Trial.number))


def trials_by_test(session: Session, test_ids: Iterable[int]) -> dict[int, list[OpenTrial]]:
    """All trials of each test, in the order drawn, without their keys."""
    trials: dict[int, list[OpenTrial]] = {test_id: [] for test_id in test_ids}
    query = trial_query(OpenTrial).where(Trial.test_id.in_(list(trials))).order_by(Trial.number)
    for trial in rows_as(OpenTrial, session, query):
        trials[trial.test_id].append(trial)
    return trials


def open_trial(session: Session, test_id: int, now: datetime) -> int | None:
    """A trial of the test that is neither finished nor void."""
    unfinished = and_(Trial.voided_at.is_(None), ~is_finished(now))
    return session.scalar(select(Trial.id).where(Trial.test_id == test_id, unfinished).limit(1))


def answered_lately(session: Session, test_id: int, now: datetime) -> int:
    """The most trials of a test that any one taster answered at this sitting."""
    lately = (Trial.test_id == test_id, Trial.answered_at > now - SITTING)
    counts = select(func.count()).where(*lately).group_by(Trial.taster_id)
    return max(session.scalars(counts), default=0)


def codes_used(session: Session) -> Sequence[str]:
    """Codes of the latest trials of all tests, the newest last."""
    query = select(Trial.codes).order_by(Trial.id.desc()).limit(CODES_KEPT)
    return [code for codes in reversed(session.scalars(query).all()) for code in codes.split()]


@cache
def trial_query(row_type: type[tuple[object, ...]]) -> Select[*tuple[object, ...]]:
    """Trials with the names of their tasters."""
    columns = columns_of(row_type, Trial, taster_name=called(), person_id=person())
    return select(*columns).join(Taster, Taster.id == Trial.taster_id)


def is_finished(now: datetime) -> ColumnElement[bool]:
    """Answered, and where it was poured solo the mark under the cup was read, or is overdue."""
    return and_(Trial.answered_at.is_not(None), or_(_mark_was_read(), is_overdue(now)))


def is_overdue(now: datetime) -> ColumnElement[bool]:
    """Answered solo, and its mark not read in time."""
    return and_(~_mark_was_read(), Trial.answered_at <= now - MARK_WAITS)


def _mark_was_read() -> ColumnElement[bool]:
    return or_(Trial.pouring != "solo", Trial.lifted.is_not(None))


def _unfinished() -> ColumnElement[bool]:
    """Somebody has something to do for it, be it too late to count."""
    return and_(Trial.voided_at.is_(None), or_(Trial.answered_at.is_(None), ~_mark_was_read()))
