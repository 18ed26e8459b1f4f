"""How much the scores of repeats of one recipe differ, and one difference compared with that."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import variance
from typing import Literal

from app.sensory.lazy import special


@dataclass(frozen=True)
class Spread:
    """Standard deviation (points) of repeats of one recipe, pooled over `groups` recipes."""

    sd: float
    df: int
    groups: int

    @property
    def repeats(self) -> int:
        return self.df + self.groups


@dataclass(frozen=True)
class AgainstRepeats:
    """One cup's score minus another's, compared with how much cups of one recipe differ.

    `usual` is the standard deviation of such a difference and `range_95` the size that 95 in 100 of
    them do not exceed; both are None without a known spread of repeats.
    """

    difference: float
    usual: float | None
    range_95: float | None
    size: Literal["no repeats", "like repeats", "more than repeats"]
    sentence: str


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


def against_spread(difference: float, spread: Spread | None) -> AgainstRepeats:
    """A difference of two scores compared with the user's own spread: a yardstick, not a test."""
    apart = (
        f"The scores are {abs(difference):.3g} apart." if difference else "The scores are equal."
    )
    if spread is None:
        text = f"{apart} No repeats yet: nothing to set one cup against one cup beside."
        return AgainstRepeats(difference, None, None, "no repeats", text)
    if spread.sd == 0:
        text = f"{apart} Your {spread.repeats} repeats all scored alike: too few to know a spread."
        return AgainstRepeats(difference, None, None, "no repeats", text)

    usual = spread.sd * sqrt(2)
    wide = float(special.stdtrit(spread.df, 0.975)) * usual
    like = abs(difference) <= wide
    basis = f"Going by your {_many(spread)}, two cups of one recipe stay within {wide:.2g}"
    within = "this difference is one that repeats show" if like else "this difference is larger"
    text = f"{apart} {basis} of each other 19 times in 20; {within}. One cup each is not a test."
    size: Literal["like repeats", "more than repeats"] = (
        "like repeats" if like else "more than repeats"
    )
    return AgainstRepeats(difference, usual, wide, size, text)


def _many(spread: Spread) -> str:
    recipes = "one recipe" if spread.groups == 1 else f"{spread.groups} recipes"
    return f"{spread.repeats} repeats of {recipes}"
