"""The blind tests that count under questions: those put there, those in the bin, those taken away.

Only so can a question say how much was looked at. A test put there before its first answer counts
in full. One put there later may have been picked for what it says, unless no other test of the
journal that had been answered by then was left out.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from types import MappingProxyType
from typing import NamedTuple

from sqlalchemy import false, or_, select, true, union_all
from sqlalchemy.orm import Session

from app.journal.blind.answered import first_answers
from app.journal.blind.evidence import BlindEvidence, read_tests
from app.journal.blind.plan import fixed_answers, judged_by_controls, rule_of
from app.journal.blind.poured_from import may_be_seen
from app.journal.rows import rows_as
from app.models import BlindTest, QuestionBlindTest, QuestionLeftTest, Trial, TrialBrew
from app.sensory.blind.record import panel_of
from app.sensory.gathered.blind import Blind, Gone
from app.sensory.gathered.errors import DEALT, false_alarm, false_preference

EVER = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class _Tie:
    """A test that counts under a question, when it was put there and first answered."""

    question_id: int
    test: BlindTest
    tied_at: datetime | None
    left: bool
    answered_at: datetime | None

    @property
    def order(self) -> tuple[datetime, int]:
        return self.answered_at or EVER, self.test.id


class _Poured(NamedTuple):
    test_id: int
    brew_id: int


@dataclass(frozen=True, slots=True)
class Member:
    """A test that counts under a question, as its own page shows it and as the question does."""

    shown: BlindEvidence
    blind: Blind


def read_families(
    session: Session, question_ids: Iterable[int], now: datetime
) -> dict[int, list[Member]]:
    """The members by question, in the order of their first answers, those without one last."""
    families, answered = _ties(session, list(question_ids))
    tests = {tie.test.id: tie.test for ties in families.values() for tie in ties}
    shown = {one.test_id: one for one in read_tests(session, list(tests.values()), now)}
    brews = _brews(session, tests)
    return {
        question_id: [
            Member(one := shown[tie.test.id], as_blind(one, brews, _gone(one, tie), left_out))
            for tie, left_out in _with_left_out(ties, answered)
        ]
        for question_id, ties in families.items()
    }


def _ties(
    session: Session, question_ids: list[int]
) -> tuple[dict[int, list[_Tie]], dict[int, datetime]]:
    """The ties by question, and the moment of the first answer of every test of the journal."""
    tables = ((QuestionBlindTest, false()), (QuestionLeftTest, true()))
    ties = union_all(
        *(
            select(table.question_id, table.test_id, table.tied_at, left.label("left"))
            .where(table.question_id.in_(question_ids))
            for table, left in tables
        )
    ).subquery()  # fmt: skip
    first = first_answers().subquery()
    query = (
        select(BlindTest, ties.c.question_id, ties.c.tied_at, ties.c.left, first.c.answered_at)
        .outerjoin(ties, ties.c.test_id == BlindTest.id)
        .outerjoin(first, first.c.test_id == BlindTest.id)
        .where(or_(ties.c.question_id.is_not(None), first.c.answered_at.is_not(None)))
    )
    families: dict[int, list[_Tie]] = {}
    answered: dict[int, datetime] = {}
    for test, question_id, tied_at, left, answered_at in session.execute(query):
        if answered_at:
            answered[test.id] = answered_at
        if question_id:
            tie = _Tie(question_id, test, tied_at, bool(left), answered_at)
            families.setdefault(question_id, []).append(tie)
    for members in families.values():
        members.sort(key=lambda tie: tie.order)
    return families, answered


def _with_left_out(
    members: list[_Tie], answered: Mapping[int, datetime]
) -> Iterable[tuple[_Tie, int]]:
    """Each tie, and how many tests it may have been picked from."""
    here = {tie.test.id for tie in members}
    others = [at for test_id, at in answered.items() if test_id not in here]
    for tie in members:
        tied_at = tie.tied_at or EVER
        late = tie.answered_at is not None and tied_at > tie.answered_at
        yield tie, sum(at <= tied_at for at in others) if late else 0


def _gone(one: BlindEvidence, tie: _Tie) -> Gone:
    if tie.left:
        return "taken away"
    return "in the bin" if one.test.binned_at else ""


def _brews(session: Session, test_ids: Iterable[int]) -> dict[int, frozenset[int]]:
    """The brews that finished trials were poured from, by test, where they are tied to them."""
    query = (
        select(Trial.test_id, TrialBrew.brew_id)
        .join(Trial, Trial.id == TrialBrew.trial_id)
        .join(BlindTest, BlindTest.id == Trial.test_id)
        .where(Trial.test_id.in_(list(test_ids)), *may_be_seen())
    )
    found: dict[int, set[int]] = {}
    for row in rows_as(_Poured, session, query):
        found.setdefault(row.test_id, set()).add(row.brew_id)
    return {test_id: frozenset(ids) for test_id, ids in found.items()}


def as_blind(
    shown: BlindEvidence,
    brews: Mapping[int, frozenset[int]] = MappingProxyType({}),
    gone: Gone = "",
    left_out: int = 0,
) -> Blind:
    """A test as the sums of a family take it."""
    test = shown.test
    evidence, close = _evidence(shown)
    return Blind(
        test.claim,
        shown.state,
        shown.n,
        evidence,
        close,
        tuple(dict.fromkeys(name for _, name in shown.tasters)),
        panel_of([taster_id for taster_id, _ in shown.tasters]),
        error=error_of(test),
        fixed=test.fixed_trials is not None,
        p_d=test.p_d,
        attribute=test.attribute,
        way=shown.way,
        cups=(test.a_words, test.b_words),
        brews=brews.get(test.id, frozenset()),
        gone=gone,
        left_out=left_out,
        title=test.title,
    )


def error_of(test: BlindTest) -> float:
    """How often the test's own rule shows a difference, or a preference, by luck alone."""
    if test.method == "preference":
        return false_preference(fixed_answers(test))
    return DEALT if judged_by_controls(test) else false_alarm(rule_of(test))


def _evidence(shown: BlindEvidence) -> tuple[float | None, float | None]:
    """The e-values; none where the orders were dealt, since those are not drawn one by one."""
    test, read = shown.test, shown.read
    if read is None or test.balanced:
        return None, None
    if read.preference:
        return read.preference.evidence, None
    if read.counts is None or judged_by_controls(test):
        return None, None
    return read.counts.evidence, read.counts.evidence_close
