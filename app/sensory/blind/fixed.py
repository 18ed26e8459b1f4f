"""A number of trials fixed beforehand: exact counts, read early once the end is certain.

A difference: the least count that guessing reaches with a chance of at most alpha (ISO 4120,
ISO 10399, ISO 5495). Similarity, where a size was set beforehand: the greatest count that a
difference of that size stays at or below with a chance of at most beta (the same standards).
"""

from dataclasses import dataclass
from functools import lru_cache

from app.sensory.blind.discrimination import (
    correct_share,
    critical_count,
    least_share,
    similar_count,
)
from app.sensory.blind.lines import Band, Lines, Way
from app.sensory.blind.panel import PANEL_FEWER, panel_counts
from app.sensory.terms import State

ALPHA, BETA = 0.05, 0.10


@dataclass(frozen=True)
class FixedNumber:
    """`trials` in all; shown at the critical count, close enough at the similar one.

    `p_d` is the smallest share perceived that matters, set beforehand; None: the test can only
    show a difference. With `both_ways` each direction has half of alpha. A `panel` has one trial
    each and is only read at its end; its orders, dealt in equal shares, may ask for one more.
    """

    guess: float
    trials: int
    alpha: float = ALPHA
    panel: bool = False
    p_d: float | None = None
    beta: float = BETA
    both_ways: bool = False

    @property
    def needed(self) -> int:
        """The least count that shows a difference, the way it was named."""
        return _shows(self)[1]

    @property
    def needed_other_way(self) -> int:
        """The greatest count that shows it the other way round; -1 for none."""
        return _shows(self)[0]

    @property
    def close(self) -> tuple[int, int] | None:
        """The least and the greatest count that is close enough, if any is."""
        return _close(self)

    def state(self, correct: int, n: int) -> State:
        """Certain as soon as every count that can still come out ends the test alike."""
        if n > self.trials:
            raise ValueError("more trials than were planned")
        left = self.trials - n
        if self.panel and left:
            return "open"
        for end, first, last in _ends(self):
            if first <= correct and correct + left <= last:
                return "shown" if end == "other way" else end
        return "open"

    def lines(self, most: int) -> Lines:
        """The bands up to `most` trials, or as many as were planned."""
        left = [self.trials - n for n in range(1, min(most, self.trials) + 1)]
        return Lines(tuple(self._band(end, first, last, left) for end, first, last in _ends(self)))

    def _band(self, end: Way, first: int, last: int, left: list[int]) -> Band:
        """A range of final counts as it narrows towards the last trial (a panel's: only there)."""
        high = [last - more for more in left]
        if not self.panel:
            return Band(
                end, tuple(min(first, self.trials - more + 1) for more in left), tuple(high)
            )
        low = [first if more == 0 else self.trials - more + 1 for more in left]
        return Band(end, tuple(low), tuple(high))


@lru_cache(maxsize=256)
def _shows(rule: FixedNumber) -> tuple[int, int]:
    """The greatest count that shows a difference the other way round, the least that shows it."""
    if rule.panel:
        return panel_counts(rule.trials, rule.guess, both_ways=rule.both_ways)
    alpha = rule.alpha / 2 if rule.both_ways else rule.alpha
    count = critical_count(rule.trials, rule.guess, alpha)
    if count is None:
        raise ValueError(f"{rule.trials} trials are too few to show anything at this level")
    fewest = critical_count(rule.trials, 1 - rule.guess, alpha) if rule.both_ways else None
    return -1 if fewest is None else rule.trials - fewest, count


def _close(rule: FixedNumber) -> tuple[int, int] | None:
    if rule.p_d is None:
        return None
    other, needed = _shows(rule)
    margin = PANEL_FEWER if rule.panel else 0
    greatest = similar_count(rule.trials, correct_share(rule.p_d, rule.guess), rule.beta) - margin
    least = 0
    if rule.both_ways:  # as few wrong answers as that size leaves, the other way round
        wrong = 1 - least_share(rule.p_d, rule.guess)
        least = rule.trials - (similar_count(rule.trials, wrong, rule.beta) - margin)
    low, high = max(least, other + 1), min(greatest, needed - 1)
    return (low, high) if low <= high else None


@lru_cache(maxsize=256)
def _ends(rule: FixedNumber) -> tuple[tuple[Way, int, int], ...]:
    """Every count of all trials, in ranges that end the test alike."""
    other, needed = _shows(rule)
    close = _close(rule)
    between: list[tuple[Way, int, int]] = [("undecided", other + 1, needed - 1)]
    if close:
        low, high = close
        between = [
            ("close enough", low, high),
            ("undecided", high + 1, needed - 1),
            ("undecided", other + 1, low - 1),
        ]
    every: list[tuple[Way, int, int]] = [
        ("shown", needed, rule.trials), ("other way", 0, other), *between
    ]  # fmt: skip
    return tuple((end, first, last) for end, first, last in every if first <= last)
