"""What a blind test carries besides its answers: what was done to it or to its brews that the seal
does not cover. Nothing of it depends on a key that is not shown."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import cast, func, literal, null, select
from sqlalchemy.orm import Session

from app.journal.blind.changed_brews import Mark, changed_brews
from app.journal.blind.open import OpenTrial
from app.journal.rows import rows_as
from app.models import BlindTest, BlindTestMark, LeftTrial

PUT_BACK = (
    "The journal was put back to an earlier state while this test was open: what was drawn and "
    "answered after that state is gone, and a key may have been known before its answer."
)
ONE_DEVICE = (
    "{} of {} {} poured and answered on one device or from one network address, so that whoever "
    "answered could have read the key."
)
LEFT = (
    "{} drawn in another copy of this journal, and the keys stayed there ({} answered, {} void): "
    "nothing of that is counted here."
)


@dataclass(frozen=True, slots=True)
class Marks:
    marks: tuple[Mark, ...] = ()

    @property
    def sentence(self) -> str:
        """All of them in one line; empty where there is none."""
        return " ".join(dict.fromkeys(mark.sentence for mark in self.marks))


NO_MARKS = Marks()


class _Noted(NamedTuple):
    """When a journal was put back, or else how many trials were left in another copy of it."""

    test_id: int
    put_back_at: datetime | None
    drawn: int
    answered: int
    void: int


def marks_of(
    session: Session, tests: Sequence[BlindTest], trials: Mapping[int, Sequence[OpenTrial]]
) -> dict[int, Marks]:
    """The marks of each test with all of its trials, in a number of statements that stays."""
    test_ids = [test.id for test in tests]
    if not test_ids:
        return {}
    noted = _noted(session, test_ids)
    changed = changed_brews(session, tests, _first_answers(trials.values()))
    return {
        test_id: _marks(trials[test_id], noted.get(test_id, []), changed.get(test_id, []))
        for test_id in test_ids
    }


def _noted(session: Session, test_ids: Sequence[int]) -> dict[int, list[Mark]]:
    """What is stored of tests, in one statement, the earliest first."""
    none = cast(null(), BlindTestMark.put_back_at.type)
    put_back = select(
        BlindTestMark.test_id,
        BlindTestMark.put_back_at,
        literal(0).label("drawn"),
        literal(0).label("answered"),
        literal(0).label("void"),
    ).where(BlindTestMark.test_id.in_(test_ids))
    left = (
        select(
            LeftTrial.test_id,
            none,
            func.count(),
            func.count(LeftTrial.answered_at),
            func.count(LeftTrial.voided_at),
        )
        .where(LeftTrial.test_id.in_(test_ids))
        .group_by(LeftTrial.test_id)
    )
    both = put_back.union_all(left).subquery()
    found: dict[int, list[Mark]] = {}
    for row in rows_as(_Noted, session, select(*both.c).order_by(both.c.drawn, both.c.put_back_at)):
        found.setdefault(row.test_id, []).append(_mark(row))
    return found


def _mark(row: _Noted) -> Mark:
    if row.put_back_at is not None:
        return Mark(PUT_BACK, row.put_back_at)
    trials = "1 trial was" if row.drawn == 1 else f"{row.drawn} trials were"
    return Mark(LEFT.format(trials, row.answered, row.void))


def _first_answers(tests: Iterable[Sequence[OpenTrial]]) -> dict[int, datetime]:
    """When each test was first answered, a warm-up left out."""
    first: dict[int, datetime] = {}
    for trial in (trial for trials in tests for trial in trials):
        if trial.answered_at and not trial.warm_up:
            first[trial.test_id] = min(
                first.get(trial.test_id, trial.answered_at), trial.answered_at
            )
    return first


def _marks(trials: Sequence[OpenTrial], noted: list[Mark], changed: list[Mark]) -> Marks:
    counted = [trial for trial in trials if not trial.warm_up]
    answered = [trial for trial in counted if trial.answered_at]
    together = sum(trial.on_one_device for trial in answered)
    said = ONE_DEVICE.format(together, len(answered), "was" if together == 1 else "were")
    device = [Mark(said)] if together else []
    return Marks((*noted, *changed, *device))
