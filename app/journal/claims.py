"""What has been claimed in this journal: by blind tests that ended, and under questions."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import while_unchanged
from app.journal.blind.answered import first_answers
from app.journal.blind.evidence import BlindEvidence, read_tests
from app.journal.families import Member, as_blind, error_of, read_families
from app.models import BlindTest, Question, QuestionBlindTest, QuestionLeftTest
from app.sensory.gathered.blind import Blind, Lean, counted
from app.sensory.gathered.claims import LookedAt, Worth, chance, worth
from app.sensory.gathered.family import evidence_of
from app.sensory.gathered.several import ALPHA
from app.sensory.gathered.weight import weigh

CLAIMS: dict[str, Lean] = {"shown": "shown", "close enough": "close enough"}


@dataclass(frozen=True, slots=True)
class Claimed:
    """One claim: of a blind test, or of a question with `answer` as written there.

    `chance` is how often luck alone brings one to it, `stands` whether it stands over all that was
    looked at in the journal.
    """

    of: BlindTest | Question
    at: datetime
    level: str
    sentence: str
    chance: float
    evidence: float
    stands: bool = False

    @property
    def is_question(self) -> bool:
        return isinstance(self.of, Question)

    @property
    def key(self) -> tuple[datetime, int]:
        """Where it stands in the list; a test and a question of one moment apart."""
        return self.at, 2 * self.of.id + self.is_question


@dataclass(frozen=True, slots=True)
class Claims:
    """All claims from new to old, what was looked at, and what the list is worth."""

    rows: list[Claimed]
    tests: int
    states: dict[str, int]
    questions: int
    worth: Worth

    def count(self, word: Lean, *, questions: bool = False) -> int:
        """Claims of one kind, of tests or of questions."""
        return sum(row.level.startswith(word) and row.is_question is questions for row in self.rows)


def claims_of(session: Session, now: datetime) -> Claims:
    """What has been claimed, and how much was looked at for it; as of `now` or the last change,
    whichever is earlier (time alone only makes an answer wait no longer for its mark)."""
    return while_unchanged(session, "claims", lambda: _claims(session, now))


def _claims(session: Session, now: datetime) -> Claims:
    first = first_answers().subquery()
    query = select(BlindTest).join(first, first.c.test_id == BlindTest.id)
    tests = session.scalars(query.order_by(BlindTest.id)).all()
    ended = [test for test in tests if test.ended in CLAIMS]
    rows = [_of_test(one) for one in read_tests(session, ended, now) if one.state in CLAIMS]
    questions, several = _questions(session, now)
    rows = sorted([*rows, *questions], key=lambda row: row.key, reverse=True)
    looked_at = [LookedAt(error_of(test), test.method != "preference") for test in tests]
    found = worth(looked_at, several, [row.evidence for row in rows])
    states = {
        "under way": sum(not test.ended for test in tests),
        "undecided": sum(test.ended == "undecided" for test in tests),
        "stopped": sum(test.ended == "stopped" for test in tests),
        "in the bin": sum(test.binned_at is not None for test in tests),
    }
    stand = [replace(row, stands=is_so) for row, is_so in zip(rows, found.stands, strict=True)]
    return Claims(stand, len(tests), states, several, found)


def _of_test(one: BlindEvidence) -> Claimed:
    test, word = one.test, CLAIMS[one.state]
    often, share = chance(word, error_of(test)), as_blind(one).share(word)
    at = test.stopped_at or test.made_at
    return Claimed(test, at, one.state, one.sentence, often, share.worth)


def _questions(session: Session, now: datetime) -> tuple[list[Claimed], int]:
    """What is claimed under questions with several tests, and how many of these there are; with one
    test, the test's own line says it all."""
    tied = select(QuestionBlindTest.question_id).union(select(QuestionLeftTest.question_id))
    query = select(Question).where(Question.id.in_(tied), Question.binned_at.is_(None))
    questions = session.scalars(query).all()
    families = read_families(session, [question.id for question in questions], now)
    rows, several = [], 0
    for question in questions:
        members = [one for one in families.get(question.id, []) if one.blind.trials]
        if len(members) > 1:
            several += 1
            claimed = _of_question(question, members)
            rows += [claimed] if claimed else []
    return rows, several


def _of_question(question: Question, members: Sequence[Member]) -> Claimed | None:
    tests: list[Blind] = [one.blind for one in members]
    found = weigh(tests)
    word = next((word for word in CLAIMS.values() if found.level.startswith(word)), None)
    if word is None:
        return None
    at = max(one.shown.test.stopped_at or question.asked_at for one in members)
    evidence = evidence_of([test.share(word) for test in counted(tests)])
    return Claimed(question, at, found.level, found.reason, ALPHA, evidence)
