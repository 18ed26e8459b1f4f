"""Step by step: ISO 16820:2019 / Wald 1947, Sequential Analysis, chapter 5."""

from dataclasses import dataclass
from math import ceil, floor, log

from app.sensory import ROUNDING
from app.sensory.blind.discrimination import correct_share, least_share
from app.sensory.blind.lines import Lines, four_lines, two_lines
from app.sensory.terms import State


@dataclass(frozen=True)
class Lane:
    """Two parallel lines for a count that is `rate` under the null, `rate1` at the size to find."""

    rate: float
    rate1: float
    alpha: float
    beta: float

    @property
    def _scale(self) -> float:
        return log(self.rate1 / self.rate) + log((1 - self.rate) / (1 - self.rate1))

    @property
    def slope(self) -> float:
        """Counts a trial along both lines."""
        return log((1 - self.rate) / (1 - self.rate1)) / self._scale

    @property
    def above(self) -> float:
        """Where the line of difference starts at n = 0."""
        return log((1 - self.beta) / self.alpha) / self._scale

    @property
    def below(self) -> float:
        """How far under 0 the line of similarity starts."""
        return log((1 - self.alpha) / self.beta) / self._scale

    def shows(self, n: int) -> int:
        """The least count on or over the line of difference; above n if none is."""
        return min(ceil(self.above + self.slope * n - ROUNDING), n + 1)

    def close(self, n: int) -> int:
        """The greatest count on or under the line of similarity; -1 if none is."""
        return max(floor(-self.below + self.slope * n + ROUNDING), -1)


@dataclass(frozen=True)
class StepByStep:
    """A false difference in about alpha of tests, a missed p_d in about beta of them.

    With `both_ways` there are two pairs of lines, each with half of alpha: one for right answers,
    one for wrong ones. Close enough is where both counts are on or under their lower lines.
    """

    guess: float
    p_d: float
    alpha: float = 0.05
    beta: float = 0.10
    both_ways: bool = False

    @property
    def p1(self) -> float:
        return correct_share(self.p_d, self.guess)

    @property
    def p1_other_way(self) -> float:
        return least_share(self.p_d, self.guess)

    @property
    def right(self) -> Lane:
        """The lines for right answers."""
        alpha = self.alpha / 2 if self.both_ways else self.alpha
        return Lane(self.guess, self.p1, alpha, self.beta)

    @property
    def wrong(self) -> Lane:
        """The lines for wrong answers, of which the other way round brings more."""
        return Lane(1 - self.guess, 1 - self.p1_other_way, self.alpha / 2, self.beta)

    def state(self, correct: int, n: int) -> State:
        right, wrong = self.right, self.wrong
        if correct >= right.shows(n) or (self.both_ways and n - correct >= wrong.shows(n)):
            return "shown"
        close = correct <= right.close(n) and (not self.both_ways or n - correct <= wrong.close(n))
        return "close enough" if close else "open"

    def lines(self, most: int) -> Lines:
        trials, right, wrong = range(1, most + 1), self.right, self.wrong
        shown, close = tuple(map(right.shows, trials)), tuple(map(right.close, trials))
        if not self.both_ways:
            return two_lines(shown, close)
        other = tuple(n - wrong.shows(n) for n in trials)
        least = tuple(n - wrong.close(n) for n in trials)
        return four_lines(shown, other, least, close)
