"""The brews that a finished trial was poured from: those tied to it, and those it still misses.
Only a trial whose key may be seen is read here: what it was poured from tells the key."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import NamedTuple

from sqlalchemy import ColumnElement, and_, func, or_, select
from sqlalchemy.orm import Session

from app.journal.blind.keys import letters, tasted_cup
from app.journal.blind.open import SITTING
from app.journal.brews import newest_ids
from app.journal.rows import columns_of, row_as, rows_as
from app.models import BlindTest, Brew, Trial, TrialBrew
from app.sensory.terms import Letter, Mark, Pouring

NEAR_BEFORE, NEAR_AFTER = timedelta(hours=12), timedelta(hours=2)
MOST_NEARBY = 20


class Tie(NamedTuple):
    """A brew that a trial was poured from, as cup A or B."""

    cup: Letter
    brew_id: int
    binned_at: datetime | None


class SeenTrial(NamedTuple):
    """A trial whose key may be seen."""

    id: int
    test_id: int
    cups: str
    is_control: bool
    brewed_first: Letter | None
    pouring: Pouring
    lifted: Mark | None
    served_at: datetime


class SeenKey(NamedTuple):
    """What a trial was poured from, once that was shown: cups by place, such as ABA."""

    id: int
    cups: str
    is_control: bool
    brewed_first: Letter | None
    lifted: Mark | None


class OtherTrial(NamedTuple):
    id: int
    number: int


@dataclass(frozen=True, slots=True)
class TrialBrews:
    """A finished trial with the brews tied to it, those that the plan itself names by cup, and
    how many of each cup it is poured from and how many are missing, the one brewed first in front.
    """

    test: BlindTest
    trial: SeenTrial
    ties: list[Tie]
    named: dict[Letter, int]
    wanted: dict[Letter, int]
    missing: dict[Letter, int]

    @property
    def brew_ids(self) -> list[int]:
        return [*self.named.values(), *(tie.brew_id for tie in self.ties)]

    @property
    def at_hand(self) -> list[tuple[Letter, int]]:
        """The cups with their brews, A first, those in the bin left out."""
        tied = [(tie.cup, tie.brew_id) for tie in self.ties if tie.binned_at is None]
        return sorted([*self.named.items(), *tied])


def brews_of_trial(session: Session, trial_id: int) -> TrialBrews | None:
    """What a trial was poured from; None while its key may not be seen."""
    query = select(*columns_of(SeenTrial, Trial)).join(BlindTest, BlindTest.id == Trial.test_id)
    trial = row_as(SeenTrial, session, query.where(Trial.id == trial_id, *may_be_seen()))
    if trial is None:
        return None
    test = session.get_one(BlindTest, trial.test_id)
    ties = ties_of(session, trial_id)
    wanted = _wanted(test, trial)
    named = _named(session, test, trial, wanted, [tie.brew_id for tie in ties])
    have = Counter([*named, *(tie.cup for tie in ties if tie.binned_at is None)])
    missing = {cup: count - have[cup] for cup, count in wanted.items() if count > have[cup]}
    return TrialBrews(test, trial, ties, named, wanted, missing)


def ties_of(session: Session, trial_id: int) -> list[Tie]:
    """What is tied to a trial, A first."""
    query = (
        select(TrialBrew.cup, TrialBrew.brew_id, Brew.binned_at)
        .join(Brew, Brew.id == TrialBrew.brew_id)
        .where(TrialBrew.trial_id == trial_id)
        .order_by(TrialBrew.cup, TrialBrew.brew_id)
    )
    return rows_as(Tie, session, query)


def same_as(session: Session, brews: TrialBrews) -> OtherTrial | None:
    """The latest other trial of the sitting that came from the same pair and has a brew tied that
    is missing here."""
    if brews.test.brewing != "one pair" or not brews.missing:
        return None
    at = brews.trial.served_at
    query = (
        select(Trial.id, Trial.number)
        .join(BlindTest, BlindTest.id == Trial.test_id)
        .join(TrialBrew, TrialBrew.trial_id == Trial.id)
        .join(Brew, Brew.id == TrialBrew.brew_id)
        .where(Trial.test_id == brews.test.id, Trial.id != brews.trial.id, *may_be_seen())
        .where(Trial.served_at.between(at - SITTING, at + SITTING))
        .where(TrialBrew.cup.in_(brews.missing), Brew.binned_at.is_(None))
        .order_by(Trial.served_at.desc(), Trial.id.desc())
        .limit(1)
    )
    return row_as(OtherTrial, session, query)


def nearby(session: Session, brews: TrialBrews) -> list[int]:
    """Brews logged about the time of the trial that are not tied to it, the newest first."""
    near = (*_near(brews.trial), Brew.id.not_in(brews.brew_ids))
    return list(newest_ids(session, MOST_NEARBY, *near))


def brewed_like(session: Session, test: BlindTest) -> dict[Letter, int]:
    """The brew by which the next A and B start: the last one tied in the test, or the named."""
    query = (
        select(TrialBrew.cup, func.max(TrialBrew.brew_id).label("brew_id"))
        .join(Trial, Trial.id == TrialBrew.trial_id)
        .join(BlindTest, BlindTest.id == Trial.test_id)
        .join(Brew, Brew.id == TrialBrew.brew_id)
        .where(Trial.test_id == test.id, Brew.binned_at.is_(None), *may_be_seen())
        .group_by(TrialBrew.cup)
    )
    return _named_in_plan(test) | {row.cup: row.brew_id for row in session.execute(query)}


def may_be_seen() -> tuple[ColumnElement[bool], ...]:
    """The trial's key was shown, and its test hides no results."""
    return (
        Trial.seen_at.is_not(None),
        Trial.voided_at.is_(None),
        or_(Trial.pouring != "solo", Trial.lifted.is_not(None)),
        or_(
            and_(BlindTest.balanced.is_(False), BlindTest.controls == 0),
            BlindTest.ended.is_not(None),
        ),
    )


def keys_that_were_seen(session: Session, test_id: int) -> dict[int, SeenKey]:
    """What the trials of a test were poured from, by trial; those still sealed are left out."""
    query = (
        select(*columns_of(SeenKey, Trial))
        .join(BlindTest, BlindTest.id == Trial.test_id)
        .where(Trial.test_id == test_id, *may_be_seen())
    )
    return {row.id: row for row in rows_as(SeenKey, session, query)}


def _wanted(test: BlindTest, trial: SeenTrial) -> dict[Letter, int]:
    """How many brews of each cup a trial is poured from, the one brewed first in front."""
    count = Counter(letters("A" * len(trial.cups) if trial.is_control else trial.cups))
    if test.method == "A-not-A":  # of a tray one cup is tasted
        held = tasted_cup(trial.pouring, trial.cups, trial.lifted)
        reminder: tuple[Letter, ...] = ("A",) if test.reminder else ()
        count = Counter([held, *reminder] if held else reminder)
    if test.brewing != "every cup its own":
        twice = trial.is_control and test.brewing == "fresh pair each trial"
        count = Counter(dict.fromkeys(count, 1 + twice))
    first = trial.brewed_first or "A"
    return {cup: count[cup] for cup in sorted(count, key=lambda cup: cup != first)}


def _named(
    session: Session, test: BlindTest, trial: SeenTrial, cups: Iterable[Letter], tied: list[int]
) -> dict[Letter, int]:
    """The plan's own brews, where all cups come from one pair and they were brewed for it."""
    plan = _named_in_plan(test) if test.brewing == "one pair" else {}
    named = {cup: brew_id for cup, brew_id in plan.items() if cup in cups and brew_id not in tied}
    if not named:
        return {}
    brewed = set(session.scalars(select(Brew.id).where(Brew.id.in_(named.values()), *_near(trial))))
    return {cup: brew_id for cup, brew_id in named.items() if brew_id in brewed}


def _named_in_plan(test: BlindTest) -> dict[Letter, int]:
    named: dict[Letter, int | None] = {"A": test.a_brew_id, "B": test.b_brew_id}
    return {cup: brew_id for cup, brew_id in named.items() if brew_id}


def _near(trial: SeenTrial) -> tuple[ColumnElement[bool], ...]:
    at = trial.served_at
    return Brew.binned_at.is_(None), Brew.brewed_at.between(at - NEAR_BEFORE, at + NEAR_AFTER)
