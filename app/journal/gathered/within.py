"""Within which limits the answer to a question was tested: what its strength rests on, as facts.

Brews that were scored, side by sides with a preference that bear on the question, and blind tests
with an answer; those in the bin where they still count. Never what was said after a reveal.
"""

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.brewing.within.facts import BlindFacts, PairFacts, Record, ScoreFacts
from app.brewing.within.writing import Within, written
from app.journal.blind.poured_from import NEAR_AFTER, NEAR_BEFORE, may_be_seen
from app.journal.blind.standing import results_hidden
from app.journal.brews import newest_ids
from app.journal.families import Member
from app.journal.gathered.evidence import Gathered, PairLine
from app.journal.gathered.facts import read_facts
from app.journal.pairs.pair import Side
from app.journal.rows import rows_as
from app.models import BlindTest, Brew, Question, Trial, TrialBrew

LATEST = 100  # brews of the journal that say what the household does besides


class _Poured(NamedTuple):
    """A brew of a trial; `counts` is whether the trial itself is counted."""

    test_id: int
    trial_id: int
    counts: bool
    brew_id: int


class _Named(NamedTuple):
    """A brew that a plan names, and when the first trial was served that has an answer."""

    test_id: int
    brew_id: int
    brewed_at: datetime
    served_at: datetime


def within_of(session: Session, question: Question, found: Gathered) -> Within:
    """The limits of the answer, in a number of statements that stays the same."""
    tests = _tests(session, [one for one in found.members if one.shown.n])
    pairs = tuple(map(_pair, found.counted_pairs))
    scores = tuple(score for brew in found.brews for score in _scores(brew.side))
    ids = {score.brew_id for score in scores}
    ids.update(*(test.brew_ids for test in tests), *(pair.brew_ids for pair in pairs))
    latest = newest_ids(session, LATEST)
    facts = read_facts(session, ids.union(latest))
    return written(
        Record(
            brews=tuple(facts[brew_id] for brew_id in sorted(ids)),
            tests=tests,
            pairs=pairs,
            scores=scores,
            asked=tuple(question.factors),
            around=tuple(facts[brew_id] for brew_id in latest),
        )
    )


def _pair(line: PairLine) -> PairFacts:
    row = line.row
    tasters = {score.taster_id for side in (line.a, line.b) for score in _scores(side)}
    brews = frozenset((row.brew_a_id, row.brew_b_id))
    return PairFacts(
        id=row.id, brew_ids=brews, taster_ids=frozenset(tasters), gone=row.binned_at is not None
    )


def _scores(side: Side) -> list[ScoreFacts]:
    return [
        ScoreFacts(brew_id=side.row.id, taster_id=row.taster_id, blind=row.blind)
        for row in side.tastings
        if row.liking is not None
    ]


def _tests(session: Session, members: Sequence[Member]) -> tuple[BlindFacts, ...]:
    poured, named = _poured(session, members), _named(session, members)
    tests = []
    for member in members:
        shown, test_id = member.shown, member.shown.test_id
        ties = [row for row in poured if row.test_id == test_id]
        noted = len({row.trial_id for row in ties if row.counts})
        pair = named.get(test_id, frozenset())
        one_pair = shown.test.brewing == "one pair" and (pair or ties)
        tests.append(
            BlindFacts(
                id=test_id,
                trials=shown.n,
                noted=shown.n if one_pair else min(noted, shown.n),
                brew_ids=pair.union(row.brew_id for row in ties),
                taster_ids=frozenset(taster_id for taster_id, _ in shown.tasters),
                hidden=results_hidden(shown.test),
                gone=bool(member.blind.gone),
            )
        )
    return tuple(tests)


def _poured(session: Session, members: Sequence[Member]) -> list[_Poured]:
    """The brews tied to trials whose key may be seen, warm-ups left out."""
    query = (
        select(
            Trial.test_id,
            Trial.id.label("trial_id"),
            Trial.is_control.is_(False).label("counts"),
            TrialBrew.brew_id,
        )
        .join(Trial, Trial.id == TrialBrew.trial_id)
        .join(BlindTest, BlindTest.id == Trial.test_id)
        .where(Trial.test_id.in_([one.shown.test_id for one in members]))
        .where(Trial.warm_up.is_(False), *may_be_seen())
    )
    return rows_as(_Poured, session, query)


def _named(session: Session, members: Sequence[Member]) -> dict[int, frozenset[int]]:
    """By test, the pair of brews that its plan names and that was brewed for its first trial."""
    first = select(func.min(Trial.served_at)).where(
        Trial.test_id == BlindTest.id, Trial.answered_at.is_not(None)
    )
    query = (
        select(
            BlindTest.id.label("test_id"),
            Brew.id.label("brew_id"),
            Brew.brewed_at,
            first.scalar_subquery().label("served_at"),
        )
        .join(Brew, Brew.id.in_((BlindTest.a_brew_id, BlindTest.b_brew_id)))
        .where(BlindTest.id.in_([one.shown.test_id for one in members]))
        .where(BlindTest.brewing == "one pair")
    )
    named: dict[int, frozenset[int]] = {}
    for row in rows_as(_Named, session, query):
        if row.served_at - NEAR_BEFORE <= row.brewed_at <= row.served_at + NEAR_AFTER:
            named[row.test_id] = named.get(row.test_id, frozenset()) | {row.brew_id}
    return named
