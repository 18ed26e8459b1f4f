"""What became of the trials of a test, in the order answered: those that are read, and those that
wait, are void or were served and not answered. No trial drops out without a word."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.journal.blind.open import OpenTrial, is_finished, trial_query
from app.journal.blind.sealed import FinishedTrial, finished_by_test
from app.journal.rows import rows_as
from app.models import BlindTest, Trial


@dataclass(frozen=True, slots=True)
class Answers:
    """`finished` trials with their keys, and the `others` without, warm-ups left out of these."""

    finished: tuple[FinishedTrial, ...] = ()
    others: tuple[OpenTrial, ...] = ()

    @property
    def waiting(self) -> list[OpenTrial]:
        """Answers poured solo whose marks are not read yet, in the order given."""
        return [trial for trial in self.others if trial.answered_at]

    @property
    def voids(self) -> list[OpenTrial]:
        return [trial for trial in self.others if trial.voided_at]

    @property
    def unanswered(self) -> list[OpenTrial]:
        """Served, and neither answered nor void."""
        return [
            trial
            for trial in self.others
            if trial.served_at and not (trial.answered_at or trial.voided_at)
        ]

    @property
    def read(self) -> list[FinishedTrial]:
        """What a verdict may rest on: up to the first answer that waits for its mark. Who could
        leave a wrong one unread and go on would be right in all that are read."""
        first = min((_answered(trial) for trial in self.waiting), default=None)
        return [trial for trial in self.finished if first is None or _answered(trial) < first]

    @property
    def held_back(self) -> int:
        """How many finished trials come after the first one that waits."""
        return _count(self.finished) - _count(self.read)


def answers_by_test(session: Session, test_ids: Iterable[int], now: datetime) -> dict[int, Answers]:
    """The answers of each test, in two statements."""
    ids = list(test_ids)
    finished = finished_by_test(session, ids, now)
    query = trial_query(OpenTrial).where(
        Trial.test_id.in_(ids), Trial.warm_up.is_(False), ~is_finished(now)
    )
    others: dict[int, list[OpenTrial]] = {}
    for trial in rows_as(OpenTrial, session, query.order_by(Trial.answered_at, Trial.id)):
        others.setdefault(trial.test_id, []).append(trial)
    return {
        test_id: Answers(tuple(finished.get(test_id, ())), tuple(others.get(test_id, ())))
        for test_id in ids
    }


def answers_of(session: Session, test: BlindTest, now: datetime) -> Answers:
    return answers_by_test(session, [test.id], now)[test.id]


def _answered(trial: FinishedTrial | OpenTrial) -> tuple[datetime | None, int]:
    return trial.answered_at, trial.id


def _count(trials: Iterable[FinishedTrial]) -> int:
    return sum(not trial.warm_up for trial in trials)
