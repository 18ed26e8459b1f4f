"""Several cups in order from comparisons of two at a time: the Bradley-Terry model.

Bradley & Terry 1952, Biometrika 39:324: the log-odds that cup i is preferred to cup j are the
difference of their worths. A normal prior of mean 0 and SD 1 on each worth keeps few comparisons
from giving extremes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp

from app.sensory import Z_95
from app.sensory.lazy import Floats, Integers, np

PRIOR_PRECISION = 1.0
MOST_STEPS = 100


@dataclass(frozen=True)
class Ranked:
    """One cup's worth (log-odds, 0 is the mean of the prior) with its approximate 95 % range."""

    name: str
    worth: float
    low: float
    high: float
    comparisons: int


@dataclass(frozen=True)
class Ranking:
    """The cups, most preferred first, and what to keep in mind when reading the order."""

    cups: tuple[Ranked, ...]
    cautions: tuple[str, ...]


def rank(names: Sequence[str], wins: Sequence[tuple[str, str]]) -> Ranking:
    """Rank the named cups from ``wins``, (preferred, other) pairs of names; leave ties out.

    The range comes from the curvature of the posterior at its mode (Laplace's approximation), so
    it is rough below some ten comparisons a cup. Raises ValueError for a name given twice, a pair
    with an unknown name, or a cup compared with itself.

    >>> [cup.name for cup in rank(["hot", "cool"], [("cool", "hot")]).cups]
    ['cool', 'hot']
    """
    place = {name: i for i, name in enumerate(names)}
    if len(place) < len(names):
        raise ValueError("every cup needs its own name")
    if unknown := {name for pair in wins for name in pair} - set(place):
        raise ValueError(f"unknown cup: {sorted(unknown)[0]}")
    if any(first == second for first, second in wins):
        raise ValueError("a cup cannot be compared with itself")
    if not wins:
        return Ranking((), ("No comparisons yet.",))
    pairs = [(place[winner], place[loser]) for winner, loser in wins]
    worths, half = _fit(len(names), pairs)
    met = np.bincount(np.array(pairs).ravel(), minlength=len(names))
    ranked = [
        Ranked(name, float(w), float(w - h), float(w + h), int(n))
        for name, w, h, n in zip(names, worths, half, met, strict=True)
    ]
    ranked.sort(key=lambda cup: -cup.worth)
    return Ranking(tuple(ranked), _cautions(len(names), pairs, met))


def chance_preferred(first: Ranked, second: Ranked) -> float:
    """Chance that the first of two cups is preferred to the second, at their fitted worths."""
    return 1 / (1 + exp(second.worth - first.worth))


def _fit(n: int, pairs: Sequence[tuple[int, int]]) -> tuple[Floats, Floats]:
    """The posterior mode by Newton's method, and half of each worth's 95 % range."""
    unit = np.eye(n)
    won, lost = np.array(pairs).T
    difference = unit[won] - unit[lost]  # one row a comparison
    worths = np.zeros(n)
    for _ in range(MOST_STEPS):
        p = 1 / (1 + np.exp(-difference @ worths))
        curvature = PRIOR_PRECISION * unit + (difference.T * (p * (1 - p))) @ difference
        step = np.linalg.solve(curvature, difference.T @ (1 - p) - PRIOR_PRECISION * worths)
        worths += step
        if np.abs(step).max() < 1e-10:
            break
    return worths, Z_95 * np.sqrt(np.diag(np.linalg.inv(curvature)))


def _cautions(n: int, pairs: Sequence[tuple[int, int]], met: Integers) -> tuple[str, ...]:
    group = list(range(n))
    for i, j in pairs:
        old, new = group[i], group[j]
        group = [new if g == old else g for g in group]
    cautions = ["The order holds for these comparisons; cups with overlapping ranges may be alike."]
    if len({g for g, m in zip(group, met, strict=True) if m}) > 1:
        cautions.append("Some cups were never linked by a comparison: their order is a guess.")
    if not met.all():
        cautions.append(
            "Cups without a comparison are in the middle because nothing is known of them."
        )
    return tuple(cautions)
