"""What became of the trials of a test, in the order answered: those that are read, and those that
wait, are void or were served and not answered. No trial drops out without a word."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from sqlalchemy.orm import Session

from app.journal.blind.open import OpenTrial, trials_of
from app.journal.blind.sealed import FinishedTrial, finished_by_test
from app.models import BlindTest

EVER = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Answers:
    """`finished` trials with their keys, and the `others` without, warm-ups left out of these."""

    finished: tuple[FinishedTrial, ...] = ()
    others: tuple[OpenTrial, ...] = ()

    @property
    def waiting(self) -> list[OpenTrial]:
        """Answers poured solo whose marks are not read yet, in the order given."""
        return sorted((trial for trial in self.others if trial.answered_at), key=_answered)

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


def answers_by_test(
    session: Session, trials: Mapping[int, Sequence[OpenTrial]], now: datetime
) -> dict[int, Answers]:
    """The answers of tests, given with all of their trials without keys."""
    finished = finished_by_test(session, trials, now)
    return {
        test_id: _answers(drawn, finished.get(test_id, [])) for test_id, drawn in trials.items()
    }


def answers_of(session: Session, test: BlindTest, now: datetime) -> Answers:
    return answers_by_test(session, {test.id: trials_of(session, test.id)}, now)[test.id]


def _answers(drawn: Sequence[OpenTrial], finished: Sequence[FinishedTrial]) -> Answers:
    read = {trial.id for trial in finished}
    others = [trial for trial in drawn if trial.id not in read and not trial.warm_up]
    return Answers(tuple(finished), tuple(sorted(others, key=lambda trial: trial.number)))


def _answered(trial: FinishedTrial | OpenTrial) -> tuple[datetime, int]:
    return trial.answered_at or EVER, trial.id


def _count(trials: Iterable[FinishedTrial]) -> int:
    return sum(not trial.warm_up for trial in trials)
