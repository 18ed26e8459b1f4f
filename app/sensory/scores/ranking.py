"""Several cups in order from comparisons of two at a time: the Bradley-Terry model.

Bradley & Terry 1952, Biometrika 39:324, with a normal prior of mean 0 and spread 1 on each
strength, which keeps few comparisons from giving extremes; fitted by the library choix.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, sqrt

from app.sensory.lazy import Floats, Integers, np

PRIOR_PRECISION = 1.0
Z_95 = 1.959963984540054


@dataclass(frozen=True)
class Ranked:
    """One cup's strength (log-odds, mean of the prior 0) with its approximate 95 % range."""

    name: str
    strength: float
    low: float
    high: float
    comparisons: int


@dataclass(frozen=True)
class Ranking:
    """The cups, strongest first, with what to keep in mind."""

    cups: tuple[Ranked, ...]
    cautions: tuple[str, ...]


def rank(names: Sequence[str], wins: Sequence[tuple[str, str]]) -> Ranking:
    """Rank the named cups from (preferred, other) pairs; ties are left out beforehand.

    The range comes from the curvature at the fit (Laplace), so it is rough below some ten
    comparisons a cup.
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
    strengths, half = _fit(len(names), pairs)
    met = np.bincount(np.array(pairs).ravel(), minlength=len(names))
    ranked = [
        Ranked(name, float(s), float(s - h), float(s + h), int(n))
        for name, s, h, n in zip(names, strengths, half, met, strict=True)
    ]
    ranked.sort(key=lambda cup: -cup.strength)
    return Ranking(tuple(ranked), _cautions(len(names), pairs, met))


def chance_preferred(first: Ranked, second: Ranked) -> float:
    """Chance that the first of two cups is preferred, at the fitted strengths."""
    return 1 / (1 + exp(second.strength - first.strength))


def _fit(n: int, pairs: Sequence[tuple[int, int]]) -> tuple[Floats, Floats]:
    import choix

    strengths = np.asarray(choix.opt_pairwise(n, pairs, alpha=PRIOR_PRECISION / 2))
    curvature = PRIOR_PRECISION * np.eye(n)
    for i, j in pairs:
        p = 1 / (1 + exp(strengths[j] - strengths[i]))
        curvature[[i, j], [i, j]] += p * (1 - p)
        curvature[[i, j], [j, i]] -= p * (1 - p)
    spread = [sqrt(v) for v in np.diag(np.linalg.inv(curvature))]
    return strengths, Z_95 * np.array(spread)


def _cautions(n: int, pairs: Sequence[tuple[int, int]], met: Integers) -> tuple[str, ...]:
    group = list(range(n))
    for i, j in pairs:
        old, new = group[i], group[j]
        group = [new if g == old else g for g in group]
    cautions = ["The order speaks of these comparisons; overlapping ranges are not told apart."]
    if len({g for g, m in zip(group, met, strict=True) if m}) > 1:
        cautions.append("Some cups were never linked by a comparison: their order is a guess.")
    if not met.all():
        cautions.append("Cups without a comparison stand in the middle for want of knowledge.")
    return tuple(cautions)
