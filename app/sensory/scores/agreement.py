"""How far two tasters agree on the cups that both of them scored.

Weighted kappa with squared weights (Cohen 1968, Psychol. Bull. 70:213), which is what is left of
the mean squared difference once it is compared with that of scores put together at random; it is
Lin's concordance correlation, too (Lin 1989, Biometrics 45:255). Cups of one day are no cups of
their own, so its range leaves out one day after the other (jackknife, on Fisher's z).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atanh, sqrt, tanh
from statistics import fmean, pvariance, variance
from typing import NamedTuple

from app.sensory.lazy import special
from app.sensory.scores.apart import Apart, Days, apart, welch_error
from app.sensory.scores.balance import LEAST_T

LEAST_CUPS, LEAST_DAYS = 20, 10  # for a kappa with its range
LEAST_ALONE = 4  # cups that one of them scored alone
NEAR = 1.0  # point
SURE = 0.999  # z has no end at 1


class Both(NamedTuple):
    """One cup that both scored: the day (a number), and the score of each."""

    day: int
    first: float
    second: float


@dataclass(frozen=True, slots=True)
class Agreement:
    """`apart` is how much more the first gives than the second, by days; `near` the share of cups
    they scored within one point of each other. Kappa and its range are None for fewer than 20 cups
    or 10 days, and where neither told one cup from another. `chosen`: the cups of both were others
    than those that one of them scored alone, so that the difference may come from the choice."""

    cups: int
    days: int
    apart: Apart
    near: float
    kappa: float | None = None
    low: float | None = None
    high: float | None = None
    chosen: bool = False


def are_others(of_both: Sequence[float], alone: Sequence[float]) -> bool:
    """Whether one taster scored the cups of both otherwise than those the other left out: further
    apart than chance alone brings in about one case of seven (our own rule, as in `balance`)."""
    if min(len(of_both), len(alone)) < LEAST_ALONE:
        return False
    error, _ = welch_error(of_both, alone)
    return abs(fmean(of_both) - fmean(alone)) > LEAST_T * error


def agreement(cups: Sequence[Both], *, chosen: bool = False) -> Agreement | None:
    """None without a cup that both scored."""
    if not cups:
        return None
    by_day: dict[int, list[Both]] = {}
    for cup in cups:
        by_day.setdefault(cup.day, []).append(cup)
    first, second = (
        {day: fmean(cup[place] for cup in of) for day, of in by_day.items()} for place in (1, 2)
    )
    found = apart(Days(first, second))
    assert found is not None  # noqa: S101  # both have the same days, and there is one
    near = fmean(abs(cup.first - cup.second) <= NEAR for cup in cups)
    enough = len(cups) >= LEAST_CUPS and len(by_day) >= LEAST_DAYS
    kappa = weighted_kappa(cups) if enough else None
    if kappa is None:
        return Agreement(len(cups), len(by_day), found, near, chosen=chosen)
    left_out = [
        weighted_kappa([cup for day, of in by_day.items() if day != out for cup in of])
        for out in by_day
    ]
    low, high = _range(kappa, left_out)
    return Agreement(len(cups), len(by_day), found, near, kappa, low, high, chosen)


def weighted_kappa(cups: Sequence[Both]) -> float | None:
    """1 for the same score on every cup, 0 for scores put together at random; None where neither
    told one cup from another.

    >>> weighted_kappa([Both(1, 4, 4), Both(2, 6, 6), Both(3, 8, 6)])
    0.6666666666666667
    """
    first, second = [cup.first for cup in cups], [cup.second for cup in cups]
    by_chance = pvariance(first) + pvariance(second) + (fmean(first) - fmean(second)) ** 2
    if by_chance == 0:
        return None
    return 1 - fmean((cup.first - cup.second) ** 2 for cup in cups) / by_chance


def _range(kappa: float, left_out: Sequence[float | None]) -> tuple[float, float]:
    n, whole = len(left_out), _z(kappa)
    pseudo = [n * whole - (n - 1) * _z(kappa if one is None else one) for one in left_out]
    half = float(special.stdtrit(n - 1, 0.975)) * sqrt(variance(pseudo) / n)
    return tanh(whole - half), tanh(whole + half)


def _z(kappa: float) -> float:
    return atanh(max(-SURE, min(SURE, kappa)))
