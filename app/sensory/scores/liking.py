"""Liking and just-right scores: the scales, penalties, and how to read one difference.

Liking: the nine-point hedonic scale of Peryam & Pilgrim 1957, Food Technology 11(9):9.
Just-right: five steps around "just right"; the definitions of the attributes are our own.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean, variance
from typing import Literal

from app.sensory.lazy import special

LIKING_LABELS = {
    1: "dislike extremely",
    2: "dislike very much",
    3: "dislike moderately",
    4: "dislike slightly",
    5: "neither like nor dislike",
    6: "like slightly",
    7: "like moderately",
    8: "like very much",
    9: "like extremely",
}
JUST_RIGHT_LABELS = {
    1: "much too little",
    2: "a little too little",
    3: "just right",
    4: "a little too much",
    5: "much too much",
}
JUST_RIGHT = 3
JUST_RIGHT_DEFINITIONS = {
    "strength": "How much taste there is in all, from watery to overwhelming.",
    "sweetness": "The taste of sugar, honey or ripe fruit.",
    "acidity": "The sharp, bright taste of lemon, apple or vinegar.",
    "bitterness": "The taste of dark chocolate, grapefruit pith or strong tea.",
    "body": "How thick and full the liquid feels in the mouth.",
    "clarity": "How cleanly one taste can be told from the next, without mud or dust.",
}
JUST_RIGHT_ATTRIBUTES = tuple(JUST_RIGHT_DEFINITIONS)

LEAST_SHARE = 0.20
LEAST_CUPS = 4


@dataclass(frozen=True)
class Penalty:
    """How much less the cups on one side of just right are liked, in points.

    `share` (0 to 1) of the scored cups are on this `side`; `low` and `high` are the 95 % range of
    the `drop`, None where no score varies. Such cups may differ in more than this attribute, so the
    drop need not be its effect.
    """

    side: Literal["too little", "too much"]
    cups: int
    share: float
    just_right_cups: int
    drop: float
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Spread:
    """Standard deviation (points) of repeats of one recipe, pooled over `groups` recipes."""

    sd: float
    df: int
    groups: int

    @property
    def repeats(self) -> int:
        """The number of cups behind it."""
        return self.df + self.groups


@dataclass(frozen=True)
class Comparison:
    """One cup's score minus another's, compared with how much cups of one recipe differ.

    `usual` is the standard deviation of such a difference and `range_95` the size that 95 in 100 of
    them do not exceed; both are None without a known spread of repeats.
    """

    difference: float
    usual: float | None
    range_95: float | None
    size: Literal["no repeats", "like repeats", "more than repeats"]
    sentence: str


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
    found = []
    if len(right) >= 2:
        if _counts(little, len(pairs)):
            found.append(_penalty("too little", right, little, len(pairs)))
        if _counts(much, len(pairs)):
            found.append(_penalty("too much", right, much, len(pairs)))
    return tuple(found)


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


def spread_of_repeats(groups: Sequence[Sequence[float]]) -> Spread | None:
    """Pooled spread of scores within `groups`, each the repeats of one recipe with one bag.

    None where no group has two scores.

    >>> spread_of_repeats([[6.0, 7.0, 8.0], [5.0]]).sd
    1.0
    """
    repeated = [group for group in groups if len(group) > 1]
    df = sum(len(group) - 1 for group in repeated)
    if df == 0:
        return None
    squares = sum(variance(group) * (len(group) - 1) for group in repeated)
    return Spread(sqrt(squares / df), df, len(repeated))


def against_spread(difference: float, spread: Spread | None) -> Comparison:
    """A difference of two scores compared with the user's own spread: a yardstick, not a test."""
    apart = (
        f"The scores are {abs(difference):.3g} apart." if difference else "The scores are equal."
    )
    if spread is None:
        text = f"{apart} No repeats yet: nothing to set one cup against one cup beside."
        return Comparison(difference, None, None, "no repeats", text)
    if spread.sd == 0:
        text = f"{apart} Your {spread.repeats} repeats all scored alike: too few to know a spread."
        return Comparison(difference, None, None, "no repeats", text)

    usual = spread.sd * sqrt(2)
    wide = float(special.stdtrit(spread.df, 0.975)) * usual
    like = abs(difference) <= wide
    basis = f"Going by your {_many(spread)}, two cups of one recipe stay within {wide:.2g}"
    within = "this difference is one that repeats show" if like else "this difference is larger"
    text = f"{apart} {basis} of each other 19 times in 20; {within}. One cup each is not a test."
    size: Literal["like repeats", "more than repeats"] = (
        "like repeats" if like else "more than repeats"
    )
    return Comparison(difference, usual, wide, size, text)


def _many(spread: Spread) -> str:
    recipes = "one recipe" if spread.groups == 1 else f"{spread.groups} recipes"
    return f"{spread.repeats} repeats of {recipes}"
