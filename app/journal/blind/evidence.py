"""Blind tests as other pages show them: what a test says, and which tests concern a thing. Only
answered trials are read, and nothing at all of a test whose results wait for its end."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ColumnElement, Select, and_, exists, or_, select
from sqlalchemy.orm import Session

from app.journal.blind.answers import Answers, answers_by_test
from app.journal.blind.beside import voided
from app.journal.blind.marks import NO_MARKS, Marks, marks_of
from app.journal.blind.open import trials_by_test
from app.journal.blind.plan import guess_of
from app.journal.blind.standing import Standing, results_hidden, standing
from app.models import BlindTest, Brew, FilterUse, Trial, TrialBrew
from app.sensory.blind.methods import name_of
from app.sensory.terms import Letter, State

MOST_SHOWN = 20
HIDDEN = "Nobody learns a result before the end of this test."


@dataclass(frozen=True, slots=True)
class BlindEvidence:
    """What a test says after `n` trials that count; `tasters` are (id, name), one a trial.

    `sentence` has what stands beside the verdict in it, `not_said` the marks; `void_reasons` has
    one for each void trial. `read` is None while the results wait for the end, and
    `correct` then and for a preference.
    """

    test: BlindTest
    n: int
    tasters: tuple[tuple[int, str], ...]
    read: Standing | None
    state: State
    correct: int | None
    sentence: str
    not_said: str
    marks: Marks
    void_reasons: tuple[str, ...]

    @property
    def way(self) -> Letter | None:
        """The cup shown to have more of what was named, or to be preferred."""
        return self.read.way if self.read else None

    @property
    def guess(self) -> float:
        """The share of answers that chance alone gets right, or gives to A."""
        return guess_of(self.test.method)

    @property
    def method_name(self) -> str:
        return name_of(self.test.method)

    @property
    def test_id(self) -> int:
        return self.test.id


def blind_evidence_of(
    session: Session,
    now: datetime,
    *,
    brew_ids: Sequence[int] = (),
    bag_id: int | None = None,
    filter_id: int | None = None,
) -> list[BlindEvidence]:
    """Tests that concern all of what is named, newest first, those in the bin left out.

    A test concerns a brew (or its bag, or a filter it went through) that it names as A or B, or
    that an answered trial was poured from; a filter it names itself; and two brews also when it
    is about their two recipes.
    """
    wanted = [_of_brews(*brew_ids)] if brew_ids else []
    if bag_id is not None:
        wanted.append(_involves(select(Brew.id).where(Brew.bag_id == bag_id)))
    if filter_id is not None:
        wanted.append(_of_filter(filter_id))
    query = (
        select(BlindTest)
        .where(BlindTest.binned_at.is_(None), *wanted)
        .order_by(BlindTest.made_at.desc(), BlindTest.id.desc())
        .limit(MOST_SHOWN)
    )
    return read_tests(session, session.scalars(query).all(), now) if wanted else []


def read_tests(session: Session, tests: Sequence[BlindTest], now: datetime) -> list[BlindEvidence]:
    """What each of the tests says, in the order given."""
    if not tests:
        return []
    trials = trials_by_test(session, [test.id for test in tests])
    answers = answers_by_test(session, trials, now)
    marks = marks_of(session, tests, trials)
    return [_read(test, answers[test.id], marks.get(test.id, NO_MARKS)) for test in tests]


def _read(test: BlindTest, answers: Answers, marks: Marks) -> BlindEvidence:
    real = [trial for trial in answers.read if not (trial.warm_up or trial.is_control)]
    read = None if results_hidden(test) else standing(test, answers)
    tasters = tuple((trial.person_id, trial.taster_name) for trial in real)
    voids = tuple(trial.void_reason for trial in answers.voids)
    if read is None:
        said = f"{HIDDEN} {voided(answers)}".strip()
        return BlindEvidence(
            test, len(real), tasters, read, "open", None, said, marks.sentence, marks, voids
        )
    correct = None if read.preference else read.correct
    sentence = " ".join([read.sentence, *read.beside])
    not_said = f"{read.not_said} {marks.sentence}".strip()
    return BlindEvidence(
        test, read.n, tasters, read, read.state, correct, sentence, not_said, marks, voids
    )


def _of_brews(*ids: int) -> ColumnElement[bool]:
    all_involved = and_(*(_involves([brew_id]) for brew_id in ids))
    return or_(all_involved, _of_recipes(*ids)) if len(ids) == 2 else all_involved


def _of_recipes(first_id: int, second_id: int) -> ColumnElement[bool]:
    """The test is about the recipe revisions of two brews, whichever is A."""
    ours, theirs = (
        select(Brew.revision_id).where(Brew.id == brew_id).scalar_subquery()
        for brew_id in (first_id, second_id)
    )
    a, b = BlindTest.a_revision_id, BlindTest.b_revision_id
    return and_(a != b, or_(and_(a == ours, b == theirs), and_(a == theirs, b == ours)))


def _of_filter(filter_id: int) -> ColumnElement[bool]:
    """A filter may have thousands of uses, and a journal has few tests: each test is looked up
    among the uses rather than each use among the tests."""
    through = (
        exists().where(FilterUse.filter_id == filter_id, FilterUse.brew_id == brew_id)
        for brew_id in (BlindTest.a_brew_id, BlindTest.b_brew_id)
    )
    uses = select(FilterUse.brew_id).where(FilterUse.filter_id == filter_id)
    named = (BlindTest.a_filter_id == filter_id, BlindTest.b_filter_id == filter_id)
    return or_(*named, *through, BlindTest.id.in_(_poured_from(uses)))


def _involves(brew_ids: Sequence[int] | Select[int]) -> ColumnElement[bool]:
    a, b = BlindTest.a_brew_id, BlindTest.b_brew_id
    return or_(a.in_(brew_ids), b.in_(brew_ids), BlindTest.id.in_(_poured_from(brew_ids)))


def _poured_from(brew_ids: Sequence[int] | Select[int]) -> Select[int]:
    return (
        select(Trial.test_id)
        .join(TrialBrew, TrialBrew.trial_id == Trial.id)
        .where(Trial.answered_at.is_not(None), TrialBrew.brew_id.in_(brew_ids))
    )
