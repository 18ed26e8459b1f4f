"""How far two groups of cups of one taster lie apart, a day counting once.

Cups of one day share a morning, so days are compared and not cups: the days with both groups by
their differences (t and exact sign-flip, `paired.py`), else the days of each group (Welch 1947,
Biometrika 34:28). Days that resemble the days beside them tell less; the range is widened by what
an AR(1) of the residuals' own correlation makes of the contrast.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean, stdev, variance
from typing import Literal, NamedTuple

from app.sensory.lazy import np, special
from app.sensory.scores.paired import Belief, Paired, paired
from app.sensory.scores.repeats import LEAST_SD

LEAST_DAYS = 6  # with both, or in each group
ALPHA = 0.05
NEAR_DAYS = 7  # days further apart are not taken to resemble each other
MOST_ALIKE = 0.9

Group = Literal["A", "B"]


class Scored(NamedTuple):
    """One score: the day (a number that counts days), whether the cup is of A, and the score."""

    day: int
    in_a: bool
    score: float


@dataclass(frozen=True, slots=True)
class Days:
    """The mean score of each day, by day, in either group."""

    a: Mapping[int, float]
    b: Mapping[int, float]

    @property
    def both(self) -> list[int]:
        return sorted(self.a.keys() & self.b.keys())


@dataclass(frozen=True, slots=True)
class Apart:
    """How many points A lies above B on average, over `n_a` and `n_b` days (or as many `pairs`).

    The range leaves out `alpha`; None, like the p of the sign-flip test, where there are too few
    days (`belief` is then a cautious bet, from three pairs on). `alike` is how much neighbouring
    days resembled each other, 0 where that was not looked at.
    """

    by: Literal["pairs", "days"]
    n_a: int
    n_b: int
    difference: float
    low: float | None = None
    high: float | None = None
    p: float | None = None
    alpha: float = ALPHA
    alike: float = 0.0
    belief: Belief | None = None

    @property
    def higher(self) -> Group | None:
        """The group that scored higher by more than chance usually gives."""
        if self.low is None or self.high is None or (self.p is not None and self.p > self.alpha):
            return None
        return "A" if self.low > 0 else "B" if self.high < 0 else None


def by_day(scores: Sequence[Scored]) -> Days:
    """Means of the days in each group."""
    kept: tuple[dict[int, list[float]], dict[int, list[float]]] = ({}, {})
    for one in scores:
        kept[not one.in_a].setdefault(one.day, []).append(one.score)
    a, b = ({day: fmean(of) for day, of in sorted(group.items())} for group in kept)
    return Days(a, b)


def enough(days: Days) -> bool:
    """Whether there is a range to give."""
    return len(days.both) >= LEAST_DAYS or min(len(days.a), len(days.b)) >= LEAST_DAYS


def apart(days: Days, alpha: float = ALPHA) -> Apart | None:
    """The difference of A less B. None where one of them has no day.

    From six days with both on only these are compared: what a morning does to all of its cups
    cancels in them. Below that, separate days are, from six in each on.
    """
    if not (days.a and days.b):
        return None
    both = days.both
    if len(both) >= LEAST_DAYS or (len(both) >= 3 and not enough(days)):
        found = paired([days.a[day] - days.b[day] for day in both], alpha=alpha)
        return _of_pairs(found, alpha) if found else None
    return _separate(days, alpha)


def _of_pairs(found: Paired, alpha: float) -> Apart:
    n, middle, test = found.n, found.mean, found.test
    if test is None:
        return Apart("pairs", n, n, middle, alpha=alpha, belief=found.belief)
    least = float(special.stdtrit(n - 1, 1 - alpha / 2)) * LEAST_SD / sqrt(n)
    low, high = (middle, middle) if test.low is None or test.high is None else (test.low, test.high)
    return Apart(
        "pairs", n, n, middle, min(low, middle - least), max(high, middle + least), test.p, alpha
    )


def _separate(days: Days, alpha: float) -> Apart:
    a, b = list(days.a.values()), list(days.b.values())
    difference = fmean(a) - fmean(b)
    if min(len(a), len(b)) < LEAST_DAYS:
        return Apart("days", len(a), len(b), difference, alpha=alpha)
    alike, wider = resemblance(days)
    error, df = welch_error(a, b)
    half = float(special.stdtrit(max(df / wider, 2.0), 1 - alpha / 2)) * error * sqrt(wider)
    low, high = difference - half, difference + half
    return Apart("days", len(a), len(b), difference, low, high, None, alpha, alike)


def welch_error(a: Sequence[float], b: Sequence[float]) -> tuple[float, float]:
    """Standard error of a difference of means and its degrees of freedom (Welch 1947).

    No smaller spread is taken than whole points show.

    >>> error, df = welch_error([5.0, 6.0, 7.0], [6.0, 7.0, 8.0])
    >>> round(error, 4), round(df, 1)
    (0.8165, 4.0)
    """
    va, vb = (max(variance(one), LEAST_SD**2) / len(one) for one in (a, b))
    return sqrt(va + vb), (va + vb) ** 2 / (va**2 / (len(a) - 1) + vb**2 / (len(b) - 1))


def spread(days: Sequence[float]) -> float | None:
    """Standard deviation; None for fewer than two."""
    return stdev(days) if len(days) > 1 else None


def resemblance(days: Days) -> tuple[float, float]:
    """The lag-1 correlation of what is left of the days once their group's mean is taken off, and
    how many times it widens the variance of the contrast (1 or more).

    A sample's own correlation lies about (1 + 3 r) / n too low (Marriott & Pope 1954, Biometrika
    41:390, for one mean; from memory). Only runs of one group after the other are widened: where
    days of both take turns, what they share cancels.
    """
    middle = {"a": fmean(days.a.values()), "b": fmean(days.b.values())}
    units = sorted(
        [(day, score - middle["a"], 1 / len(days.a)) for day, score in days.a.items()]
        + [(day, score - middle["b"], -1 / len(days.b)) for day, score in days.b.items()]
    )
    at = np.array([unit[0] for unit in units], dtype=float)
    left = np.array([unit[1] for unit in units])
    weight = np.array([unit[2] for unit in units])
    gaps = np.diff(at)
    near = (gaps > 0) & (gaps <= NEAR_DAYS)
    squares = float(left @ left) / len(left)
    if near.sum() < LEAST_DAYS or squares == 0:
        return 0.0, 1.0
    r = float((left[:-1] * left[1:])[near].mean()) / squares
    alike = min(max(r + (1 + 3 * r) / len(left), 0.0), MOST_ALIKE)
    if alike == 0:
        return 0.0, 1.0
    away = np.abs(at[:, None] - at[None, :]) / max(float(np.median(gaps[near])), 1.0)
    shared = np.where(away == 0, np.eye(len(at)), alike**away)
    return alike, max(1.0, float(weight @ shared @ weight) / float(weight @ weight))
