"""Blind tests as a table: what was planned, how far it is and what it says; no key is in it."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import NamedTuple

from sqlalchemy.orm import Session

from app.journal.as_table import in_batches
from app.journal.blind.answers import Answers, answers_by_test
from app.journal.blind.keys import is_right
from app.journal.blind.open import trials_by_test
from app.journal.blind.standing import results_hidden, standing
from app.models import BlindTest

UNDER_WAY = "under way"


class Tally(NamedTuple):
    """Answers that count, None before the first; `right` is None where nobody can be, or where it
    may not be told yet."""

    answered: int | None
    right: int | None
    waiting: int


class TestLine(NamedTuple):
    """`says` is empty while the test is under way."""

    id: int
    title: str
    made_at: datetime
    method: str
    attribute: str
    more: str | None
    cup_a: str
    cup_b: str
    claim: str
    brewing: str
    pouring: str
    rule: str
    least_share_that_matters: float
    fixed_trials: int | None
    several_tasters: bool
    answered: int | None
    right_or_for_the_cup_named: int | None
    state: str
    ended_at: datetime | None
    stopped_why: str
    says: str
    note: str


def tally(test: BlindTest, answers: Answers) -> Tally:
    """How many trials, and how many right where that may be told."""
    counted = [trial for trial in answers.read if not trial.warm_up]
    if not counted:
        return Tally(None, None, len(answers.waiting))
    if results_hidden(test):  # not even how many of them were A against A
        return Tally(len(counted), None, 0)
    real = [trial for trial in counted if not trial.is_control]
    right = sum(is_right(test.method, test.more, trial) for trial in real)
    no_right = test.method == "preference"
    return Tally(len(real), None if no_right else right, len(answers.waiting))


def test_lines(session: Session, tests: Iterable[BlindTest], now: datetime) -> Iterator[TestLine]:
    for batch in in_batches(tests):
        drawn = trials_by_test(session, [test.id for test in batch])
        answers = answers_by_test(session, drawn, now)
        for test in batch:
            yield _line(test, answers[test.id])


def _line(test: BlindTest, answers: Answers) -> TestLine:
    found, read = tally(test, answers), standing(test, answers) if test.ended else None
    return TestLine(
        test.id, test.title, test.made_at, test.method, test.attribute, test.more, test.a_words,
        test.b_words, test.claim, test.brewing, test.pouring, test.rule, test.p_d,
        test.fixed_trials, test.several_tasters, found.answered, found.right,
        read.state if read else UNDER_WAY, test.stopped_at, test.stopped_why,
        read.sentence if read else "", test.note,
    )  # fmt: skip
