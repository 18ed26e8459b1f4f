"""d' of A – not A and of same–different, from what was said to cups of each kind.

The share right of these two depends on how readily a taster says "A" (or "the same"), so that d'
cannot be had from it alone. A – not A: d' = z(H) - z(F), with H the share of cups of A called A
and F that of the others (ISO 8588; standard error by the delta method, as in the R package
sensR). Same–different: a pair is called the same where its cups are felt to be less than tau
apart, P(same | same) = 2Φ(τ/√2) - 1 and P(same | different) = Φ((τ-δ)/√2) - Φ((-τ-δ)/√2)
(ASTM E2139, from memory), solved for the shares found, which is the likeliest pair of values.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import exp, inf, isfinite, isnan, log, pi, sqrt

from app.sensory.blind.evalue import interval
from app.sensory.lazy import optimize, special

MOST = 40.0
LEVEL = 0.05
EDGE = 1e-9
SPLITS = 13  # ways to share out the evidence between the two kinds of trial


@dataclass(frozen=True)
class Said:
    """How often the first word ("It is A", "The same") was said, to cups or pairs it is right for
    (`hits` of `first`) and to the others (`false_alarms` of `other`)."""

    hits: int
    first: int
    false_alarms: int
    other: int

    def __post_init__(self) -> None:
        if not (0 <= self.hits <= self.first and 0 <= self.false_alarms <= self.other):
            raise ValueError("what was said must lie between 0 and the number of trials")

    @property
    def times(self) -> int:
        """How often the first word was said in all."""
        return self.hits + self.false_alarms

    @property
    def n(self) -> int:
        return self.first + self.other


@dataclass(frozen=True)
class Detection:
    """The distance d' (None where no trial of one kind was answered; infinite where no answer to
    one kind was wrong), its standard error for a fixed number of trials (None where the distance
    has none), and the 95 % range that holds at any stop."""

    said: Said
    d_prime: float | None
    error: float | None
    low: float
    high: float


def read_said(answers: Iterable[tuple[bool, bool]]) -> Said:
    """Count (the first word is right, the first word was said)."""
    every = list(answers)
    first = sum(right for right, _ in every)
    return Said(every.count((True, True)), first, every.count((False, True)), len(every) - first)


def a_not_a(said: Said) -> Detection:
    """d' = z(H) - z(F); below 0 where cups of A are called A more rarely than the others."""
    low, high = _range(said, lambda h, f: _z(h) - _z(f), -inf)
    if not (said.first and said.other):
        return Detection(said, None, None, low, high)
    h, f = said.hits / said.first, said.false_alarms / said.other
    d_prime = _z(h) - _z(f)
    if not isfinite(d_prime):
        return Detection(said, None if isnan(d_prime) else d_prime, None, low, high)
    error = sqrt(_z_variance(h, said.first) + _z_variance(f, said.other))
    return Detection(said, d_prime, error, low, high)


def same_different(said: Said) -> Detection:
    """d' (0 or more) from the share of same pairs called the same, and of different ones."""
    low, high = _range(said, _apart, 0.0)
    if not (said.first and said.other):
        return Detection(said, None, None, low, high)
    same, different = said.hits / said.first, said.false_alarms / said.other
    d_prime = _apart(same, different)
    error = _apart_error(said, same, different, d_prime) if 0 < d_prime < inf else None
    return Detection(said, d_prime, error, low, high)


def tau_at(same: float) -> float:
    """How far apart a pair is felt that is just called the same, from P(same | same)."""
    return sqrt(2) * _z((same + 1) / 2)


def same_share(tau: float, distance: float) -> float:
    """P(the same is said) of a pair at a distance, in units of perceptual noise."""
    above, below = (tau - distance) / sqrt(2), (-tau - distance) / sqrt(2)
    return float(special.ndtr(above) - special.ndtr(below))


def _apart(same: float, different: float) -> float:
    """The distance at which `different` of the pairs are called the same; 0 where that is no
    fewer than of same pairs, infinite where it is none of them (or of same pairs all)."""
    if different >= same:
        return 0.0
    if different <= 0 or same >= 1:
        return inf
    tau = tau_at(same)
    return float(optimize.brentq(lambda d: same_share(tau, d) - different, 0.0, MOST + tau))


def _apart_error(said: Said, same: float, different: float, d_prime: float) -> float:
    """By the delta method: tau moves with the one share, d' with both."""
    tau = tau_at(same)
    near, far = _density((tau - d_prime) / sqrt(2)), _density((tau + d_prime) / sqrt(2))
    by_tau, by_distance = (near + far) / sqrt(2), (near - far) / sqrt(2)
    tau_slope = sqrt(2) / (2 * _density(tau / sqrt(2)))
    from_same = (by_tau / by_distance * tau_slope) ** 2 * same * (1 - same) / said.first
    return sqrt(from_same + different * (1 - different) / said.other / by_distance**2)


def _range(
    said: Said, distance: Callable[[float, float], float], least: float
) -> tuple[float, float]:
    """The distances of all pairs of shares that the evidence has not ruled out.

    Against a pair of shares stands the product of two e-values, each of an even bet on all shares,
    which reaches 1/LEVEL at some look or other in at most LEVEL of tests. A pair of shares at the
    edge takes a part of that from each; of these parts some are tried.
    """
    if not (said.first and said.other):
        return least, inf
    lows, highs = [], []
    lowest = [_least_log(*kind) for kind in _kinds(said)]
    room = -log(LEVEL) - sum(lowest) - 2 * EDGE
    for split in range(SPLITS):
        part = room * split / (SPLITS - 1)
        limits = (lowest[0] + EDGE + part, lowest[1] + EDGE + room - part)
        (h_low, h_high), (f_low, f_high) = (
            interval(*kind, exp(-limit)) for kind, limit in zip(_kinds(said), limits, strict=True)
        )
        lows.append(distance(h_low, f_high))
        highs.append(distance(h_high, f_low))
    return min(lows), max(highs)


def _kinds(said: Said) -> tuple[tuple[int, int], tuple[int, int]]:
    return (said.hits, said.first), (said.false_alarms, said.other)


def _least_log(count: int, n: int) -> float:
    """ln of the e-value against the share found, the least that it has against any."""
    share = count / n
    found = special.xlogy(count, share) + special.xlog1py(n - count, -share)
    return float(special.betaln(1 + count, 1 + n - count) - found)


def leaning(said: Said) -> int:
    """Whether one word is said more often than the other, as sure as that can be at any look: 1
    for the first word, -1 for the second, 0 for neither shown. Each is right in half of trials."""
    low, high = interval(said.times, said.n)
    return int(low > 0.5) - int(high < 0.5)


def _z(share: float) -> float:
    return float(special.ndtri(share))


def _density(x: float) -> float:
    return exp(-x * x / 2) / sqrt(2 * pi)


def _z_variance(share: float, n: int) -> float:
    return share * (1 - share) / n / _density(_z(share)) ** 2
