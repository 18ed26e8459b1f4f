"""Kendall's tau of values along an axis, and the slopes it does not rule out.

Each pair of values says "rose", "fell" or, where they are equal, nothing (Kendall 1970, Rank
Correlation Methods, with ties). A value that was rounded stands for an interval, so once a slope is
taken off, a pair says as much more "rose" than "fell" as two values drawn from their intervals do:
that keeps the many ties of whole scores from pulling the slope to 0. The variance grows by what
neighbours that resemble each other add (Hamed & Rao 1998, J. Hydrology 204:182).
"""

from dataclasses import dataclass
from functools import cached_property
from math import sqrt

from app.sensory.lazy import Floats, np, optimize

MOST_RESEMBLANCE = 0.9


@dataclass(frozen=True)
class Line:
    """`x`, along which it is sorted, and `y`, whose grain is how far two rounded values lie apart
    at least: one number, or one for each pair."""

    x: Floats
    y: Floats
    grain: Floats | float

    @cached_property
    def signs(self) -> Floats:
        """Of each pair: whether x grew, 1, or fell, −1."""
        signs: Floats = np.sign(self.x - self.x[:, None])
        return signs

    def rises(self, slope: float) -> Floats:
        """Of each pair: how far y rose, −1 to 1, with `slope` taken off."""
        left = self.y - slope * self.x
        apart = (left - left[:, None]) / self.grain
        size = np.minimum(np.abs(apart), 1.0)
        rises: Floats = np.sign(apart) * (2 * size - size**2)
        return rises

    def s(self, slope: float) -> float:
        """Kendall's S, pairs that rose less pairs that fell, with `slope` taken off."""
        return float(np.sum(self.signs * self.rises(slope))) / 2

    def evidence(self) -> tuple[float, float]:
        """Kendall's tau-b, and S in standard deviations of it without an association.

        Both are 0 where x or y never changes.
        """
        rises = np.sign(self.y - self.y[:, None])
        s, deviation = float(np.sum(self.signs * rises)) / 2, sqrt(variance(self.x, self.y))
        pairs = sqrt(np.count_nonzero(self.signs) * np.count_nonzero(rises))
        return (2 * s / pairs, s / deviation) if pairs and deviation else (0.0, 0.0)

    def steepest(self) -> float:
        """A slope, up or down, that no pair can exceed."""
        steps = np.diff(np.unique(self.x))
        return float((np.ptp(self.y) + np.max(self.grain)) / steps.min())

    def slope(self) -> float:
        """The slope that leaves as much rising as falling."""
        return self.crossing(0.0, -self.steepest(), self.steepest())

    def crossing(self, s: float, low: float, high: float) -> float:
        """The slope between `low` and `high` that leaves this S, or the end nearest to it."""
        if self.s(low) <= s:
            return low
        if self.s(high) >= s:
            return high
        digits = 1e-4 * float((np.ptp(self.y) + np.max(self.grain)) / np.ptp(self.x))
        return float(optimize.brentq(lambda slope: self.s(slope) - s, low, high, xtol=digits))


def variance(x: Floats, y: Floats) -> float:
    """Variance of Kendall's S without association, with ties in x and y, for 3 points or more."""
    n = len(x)
    tx = np.unique(x, return_counts=True)[1].astype(float)
    ty = np.unique(y, return_counts=True)[1].astype(float)

    def triples(t: Floats) -> float:
        return float(np.sum(t * (t - 1) * (2 * t + 5)))

    plain = (n * (n - 1) * (2 * n + 5) - triples(tx) - triples(ty)) / 18
    pairs = np.sum(tx * (tx - 1)) * np.sum(ty * (ty - 1)) / (2 * n * (n - 1))
    threes = np.sum(tx * (tx - 1) * (tx - 2)) * np.sum(ty * (ty - 1) * (ty - 2))
    return max(0.0, float(plain + pairs + threes / (9 * n * (n - 1) * (n - 2))))


def slopes_within(line: Line, bound: float, widened: float) -> tuple[float | None, float | None]:
    """Least and greatest slope that leave S within `bound` deviations, its variance `widened`.

    The variance is that without ties in y, since rounded values may lie anywhere in their interval.
    Where the evidence is beyond the bound, the range ends at 0 at the latest. None where the points
    are too few to end it.
    """
    deviation = sqrt(widened * variance(line.x, np.arange(len(line.y), dtype=float)))
    most, steepest, (_, z) = bound * deviation, line.steepest(), line.evidence()
    low_from = 0.0 if z > bound * sqrt(widened) else -steepest
    high_to = 0.0 if z < -bound * sqrt(widened) else steepest
    if line.s(-steepest) <= most:
        return None, None
    return line.crossing(most, low_from, steepest), line.crossing(-most, -steepest, high_to)


def resemblance(left: Floats, grain: float) -> float:
    """Correlation, 0 or more, of each value with the next one; `left` is what a line leaves over.

    What a line leaves of values rounded to a `grain` runs on within the grain by itself, so their
    variance counts with that of the rounding. The estimate runs low by (1 + 3ρ)/n, which is put
    back (Kendall 1954, Biometrika 41:403).
    """
    n, away = len(left), left - left.mean()
    total = float(away @ away) + n * grain**2 / 12
    if n <= 3:
        return 0.0
    seen = float(away[1:] @ away[:-1]) / total
    return min(MOST_RESEMBLANCE, max(0.0, (seen + 1 / n) / (1 - 3 / n)))


def widening(n: int, resembles: float) -> float:
    """How much larger the variance of S is where neighbours resemble each other so (Hamed & Rao).

    The correlations of values further apart are taken as powers of that of neighbours: each by
    itself is mere noise in a journal's few dozen values.

    >>> widening(20, 0.0)
    1.0
    """
    k = np.arange(1, n - 2)
    shares = (n - k) * (n - k - 1) * (n - k - 2) * resembles**k
    return 1.0 + 2.0 * float(shares.sum()) / (n * (n - 1) * (n - 2))
