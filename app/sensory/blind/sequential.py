"""Rules for stopping a blind test, each chosen beforehand, each a pair of lines to cross.

Look every morning: e-values. Fixed number: the exact binomial count, stopped early once the end
is certain. Step by step: ISO 16820:2019 / Wald 1947, Sequential Analysis, chapter 5.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, floor, log

from app.sensory import ROUNDING
from app.sensory.blind.discrimination import correct_share, critical_count
from app.sensory.blind.evalue import CLOSE_AT, SHOWN_AT, log_evidence, log_evidence_close
from app.sensory.blind.panel import panel_count
from app.sensory.lazy import Bools, Integers, np
from app.sensory.terms import State

STEP_BY_STEP_P_D = (0.2, 0.3, 0.4, 0.5)
DEFAULT_P_D = 0.40


@dataclass(frozen=True)
class Lines:
    """For n = 1, 2, ...: the least count that shows, and the greatest that ends it otherwise.

    n + 1 and -1 where no count can.
    """

    shown: tuple[int, ...]
    ended: tuple[int, ...]


@dataclass(frozen=True)
class EveryMorning:
    """Look as often as you like: shown at evidence 20, close enough at 10 against p_d."""

    guess: float
    p_d: float = DEFAULT_P_D

    @property
    def p1(self) -> float:
        return correct_share(self.p_d, self.guess)

    def state(self, correct: int, n: int) -> State:
        """Where the record stands; shown comes first where both lines are crossed."""
        if log_evidence(correct, n, self.guess) >= log(SHOWN_AT) - ROUNDING:
            return "shown"
        if log_evidence_close(correct, n, self.p1) >= log(CLOSE_AT) - ROUNDING:
            return "close enough"
        return "open"

    def lines(self, most: int) -> Lines:
        return _every_morning_lines(self.guess, self.p1, most)


@dataclass(frozen=True)
class FixedNumber:
    """`trials` in all, shown at the critical count; stopped early once the end is certain.

    A `panel` has one trial each and is only read at its end; its orders, dealt in equal shares,
    may require a higher count (see panel).
    """

    guess: float
    trials: int
    alpha: float = 0.05
    panel: bool = False

    @property
    def needed(self) -> int:
        if self.panel:
            return panel_count(self.trials, self.guess)
        count = critical_count(self.trials, self.guess, self.alpha)
        if count is None:
            raise ValueError(f"{self.trials} trials are too few to show anything at this level")
        return count

    def state(self, correct: int, n: int) -> State:
        if n > self.trials:
            raise ValueError("more trials than were planned")
        if self.panel and n < self.trials:
            return "open"
        if correct >= self.needed:
            return "shown"
        return "undecided" if correct + self.trials - n < self.needed else "open"

    def lines(self, most: int) -> Lines:
        """Both lines up to `most` trials, or as many as were planned."""
        counts = range(1, min(most, self.trials) + 1)
        needed = self.needed
        if self.panel:  # nothing before the last
            last = self.trials
            return Lines(
                tuple(needed if n == last else n + 1 for n in counts),
                tuple(needed - 1 if n == last else -1 for n in counts),
            )
        return Lines(
            tuple(min(needed, n + 1) for n in counts),
            tuple(max(-1, needed - 1 - (self.trials - n)) for n in counts),
        )


@dataclass(frozen=True)
class StepByStep:
    """Two parallel lines: a false difference in about alpha, a missed p_d in about beta of them."""

    guess: float
    p_d: float
    alpha: float = 0.05
    beta: float = 0.10

    @property
    def p1(self) -> float:
        return correct_share(self.p_d, self.guess)

    @property
    def _scale(self) -> float:
        return log(self.p1 / self.guess) + log((1 - self.guess) / (1 - self.p1))

    @property
    def slope(self) -> float:
        """Right answers a trial along both lines."""
        return log((1 - self.guess) / (1 - self.p1)) / self._scale

    @property
    def above(self) -> float:
        """Where the line of difference starts, right answers at n = 0."""
        return log((1 - self.beta) / self.alpha) / self._scale

    @property
    def below(self) -> float:
        """How far under 0 the line of similarity starts."""
        return log((1 - self.alpha) / self.beta) / self._scale

    def state(self, correct: int, n: int) -> State:
        along = correct - self.slope * n
        if along >= self.above - ROUNDING:
            return "shown"
        return "close enough" if along <= -self.below + ROUNDING else "open"

    def lines(self, most: int) -> Lines:
        up = (ceil(self.above + self.slope * n - ROUNDING) for n in range(1, most + 1))
        down = (floor(-self.below + self.slope * n + ROUNDING) for n in range(1, most + 1))
        return Lines(
            tuple(min(count, n + 1) for n, count in enumerate(up, 1)),
            tuple(max(count, -1) for count in down),
        )


Rule = EveryMorning | FixedNumber | StepByStep


@lru_cache(maxsize=64)
def _every_morning_lines(guess: float, p1: float, most: int) -> Lines:
    n = np.arange(1, most + 1)
    shown = _least_count(lambda s: log_evidence(s, n, guess) >= log(SHOWN_AT) - ROUNDING, n)
    not_close = _least_count(lambda s: log_evidence_close(s, n, p1) < log(CLOSE_AT) - ROUNDING, n)
    return Lines(tuple(shown.tolist()), tuple((not_close - 1).tolist()))


def _least_count(holds: Callable[[Integers], Bools], n: Integers) -> Integers:
    """For each n the least count from 0 to n for which `holds`, else n + 1; by bisection."""
    low, high = np.zeros_like(n), n + 1
    while (low < high).any():
        middle = (low + high) // 2
        enough = (middle > n) | holds(np.minimum(middle, n))
        low, high = (
            np.where(enough | (low == high), low, middle + 1),
            np.where(enough, middle, high),
        )
    return low


def settled(rule: Rule, answers: Sequence[bool]) -> tuple[int, State] | None:
    """The trial at which the rule first ended the test, and how; None while it is open.

    What is shown once stays shown: later trials cannot take the first crossing back.
    """
    correct = 0
    for n, right in enumerate(answers, 1):
        correct += right
        if (state := rule.state(correct, n)) != "open":
            return n, state
    return None
