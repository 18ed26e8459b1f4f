"""Penalties: how much less the cups on one side of just right are liked."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean, variance
from typing import Literal

from app.sensory.lazy import special
from app.sensory.scores.scales import JUST_RIGHT

LEAST_SHARE = 0.20
LEAST_CUPS = 4


@dataclass(frozen=True)
class Penalty:
    """How much less the cups on one side of just right are liked: `drop` points and 95 % range.

    The range is None where no score varies. Such cups may differ in more than this attribute, so
    the drop need not be its effect.
    """

    side: Literal["too little", "too much"]
    cups: int
    share: float
    just_right_cups: int
    drop: float
    low: float | None
    high: float | None


def penalties(liking: Sequence[float], just_right: Sequence[int]) -> tuple[Penalty, ...]:
    """Penalties of one attribute, for each side of just right with enough cups.

    `liking` (1 to 9) and `just_right` (1 to 5) are scores of the same cups. A side needs at least
    20 % of the cups and at least 4 (common practice), just right itself 2. Raises ValueError where
    the lengths differ.
    """
    if len(liking) != len(just_right):
        raise ValueError("every cup needs a liking and a just-right score")
    pairs = list(zip(liking, just_right, strict=True))
    right = [score for score, level in pairs if level == JUST_RIGHT]
    little = [score for score, level in pairs if level < JUST_RIGHT]
    much = [score for score, level in pairs if level > JUST_RIGHT]
    sides = []
    if len(right) >= 2:
        if _counts(little, len(pairs)):
            sides.append(_penalty("too little", right, little, len(pairs)))
        if _counts(much, len(pairs)):
            sides.append(_penalty("too much", right, much, len(pairs)))
    return tuple(sides)


def _counts(side: list[float], cups: int) -> bool:
    return len(side) >= LEAST_CUPS and len(side) >= LEAST_SHARE * cups


def _penalty(
    side: Literal["too little", "too much"], right: list[float], off: list[float], cups: int
) -> Penalty:
    drop = fmean(right) - fmean(off)
    half = _welch_half_width(right, off)
    low, high = (None, None) if half is None else (drop - half, drop + half)
    return Penalty(side, len(off), len(off) / cups, len(right), drop, low, high)


def _welch_half_width(a: list[float], b: list[float]) -> float | None:
    """Half of the 95 % range of a difference of means (Welch 1947); None if no score varies."""
    va, vb = variance(a) / len(a), variance(b) / len(b)
    if va + vb == 0:
        return None
    df = (va + vb) ** 2 / (va**2 / (len(a) - 1) + vb**2 / (len(b) - 1))
    return float(special.stdtrit(df, 0.975)) * sqrt(va + vb)
