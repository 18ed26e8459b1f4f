"""How much the scores of repeats of one recipe differ, and one difference compared with that.

Like is compared with like, since a day moves all of its cups together: two cups of different days
with repeats of different days. Two cups of one day are compared with repeats that share a day, or
with those of different days where these tell more: they differ no less.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import sqrt
from statistics import variance
from typing import Literal, NamedTuple

from app.sensory.lazy import special

# Whole points show no smaller spread than this, and hide half a point of a difference.
LEAST_SD = 1 / 3
HIDDEN = 0.5
WHOLE_SCALE = 8.0  # from 1 to 9

NONE_YET = "No repeats yet: nothing to set one cup against one cup beside."
SHARED = (
    "They were made on two days, and your repeats share a day, so they do not show how much one "
    "day differs from another."
)
LARGER = "this difference is larger, which by luck alone one pair in 20 would be"

Size = Literal["no repeats", "like repeats", "more than repeats"]


class Repeat(NamedTuple):
    """One score of a brew, and the day it was made."""

    day: date
    score: float


@dataclass(frozen=True)
class Spread:
    """Standard deviation (points) of `repeats` of one recipe, pooled over `groups` of them.

    `df` are its degrees of freedom, fewer where groups share days. `apart` is how far two of a
    group were apart at most; `one_day` whether each group shares a morning, and otherwise each of
    its cups is of another.
    """

    sd: float
    df: int
    groups: int
    repeats: int
    apart: float
    one_day: bool

    @property
    def range_95(self) -> float:
        """What 95 in 100 differences of two such cups do not exceed, and no two repeats did."""
        wide = float(special.stdtrit(self.df, 0.975)) * max(self.sd, LEAST_SD) * sqrt(2)
        return max(wide + HIDDEN, self.apart)

    @property
    def is_wide(self) -> bool:
        """Too few repeats to measure anything by: no two scores of the scale are further apart."""
        return self.range_95 >= WHOLE_SCALE

    @property
    def basis(self) -> str:
        """What it rests on."""
        recipes = "one recipe" if self.groups == 1 else f"{self.groups} recipes"
        days = "on one day" if self.one_day else "on different days"
        return f"{self.repeats} repeats of {recipes}, made {days}"


@dataclass(frozen=True)
class AgainstRepeats:
    """One cup's score minus another's, compared with how much cups of one recipe differ.

    `range_95` is the size that 95 in 100 of such differences do not exceed, None without repeats or
    where they are too few.
    """

    difference: float
    range_95: float | None
    size: Size
    sentence: str


def spread_of_repeats(groups: Sequence[Sequence[Repeat]], *, one_day: bool) -> Spread | None:
    """Pooled spread of scores within `groups`, each the repeats of one recipe with one bag.

    It is for a pair of cups of `one_day`, or else of two. None where no two repeats are like it.

    >>> morning = date(2026, 3, 1)
    >>> group = [Repeat(morning, 6.0), Repeat(morning, 7.0), Repeat(morning, 8.0)]
    >>> spread_of_repeats([group], one_day=True).sd
    1.0
    """
    by_day = [_by_day(group) for group in groups]
    # The first cup of each day: a second one would bring its day in twice.
    several = [days for days in by_day if len(days) > 1]
    apart = pooled([[scores[0] for scores in days.values()] for days in several], one_day=False)
    if apart:
        apart = replace(apart, df=_days_that_count(several))
    together = pooled([scores for days in by_day for scores in days.values()], one_day=True)
    if not one_day or together is None:
        return apart
    return together if apart is None or together.df >= apart.df else apart


def _by_day(group: Sequence[Repeat]) -> dict[date, list[float]]:
    by_day: dict[date, list[float]] = {}
    for repeat in group:
        by_day.setdefault(repeat.day, []).append(repeat.score)
    return by_day


def _days_that_count(groups: Sequence[Mapping[date, object]]) -> int:
    """Degrees of freedom of days: two recipes on the same two mornings tell of one difference."""
    linked: list[set[date]] = []
    for group in groups:
        joined = set(group).union(*(days for days in linked if days & group.keys()))
        linked = [days for days in linked if not days & joined] + [joined]
    return sum(len(days) - 1 for days in linked)


def pooled(groups: Sequence[Sequence[float]], *, one_day: bool = True) -> Spread | None:
    """Spread of scores within `groups` whose scores depend on nothing common; None without two."""
    repeated = [scores for scores in groups if len(scores) > 1]
    df = sum(len(scores) - 1 for scores in repeated)
    if df == 0:
        return None
    squares = sum(variance(scores) * (len(scores) - 1) for scores in repeated)
    apart = max(max(scores) - min(scores) for scores in repeated)
    cups = sum(map(len, repeated))
    return Spread(sqrt(squares / df), df, len(repeated), cups, apart, one_day)


def against_repeats(
    difference: float, groups: Sequence[Sequence[Repeat]], *, one_day: bool
) -> AgainstRepeats:
    """A difference of two scores, of cups of `one_day` or of two, beside the taster's repeats."""
    apart = (
        f"The scores are {abs(difference):.2g} apart." if difference else "The scores are equal."
    )
    spread = spread_of_repeats(groups, one_day=one_day)
    if spread is None:
        text = f"{apart} {SHARED if any(len(group) > 1 for group in groups) else NONE_YET}"
        return AgainstRepeats(difference, None, "no repeats", text)
    if spread.is_wide:
        text = f"{apart} Your {spread.basis}, are too few to measure it by."
        return AgainstRepeats(difference, None, "no repeats", text)
    like = abs(difference) <= spread.range_95
    within = "this difference is one that repeats show" if spread.sd else "this one is within that"
    said = within if like else LARGER
    size: Size = "like repeats" if like else "more than repeats"
    text = f"{apart} {_basis(spread)}; {said}. One cup each is not a test."
    return AgainstRepeats(difference, spread.range_95, size, text)


def _basis(spread: Spread) -> str:
    many, wide = spread.basis, f"{spread.range_95:.1f}"
    if not spread.sd:
        return f"Your {many}, all scored alike, which fits differences up to {wide}"
    return f"Going by your {many}, two such cups stay within {wide} of each other 19 times in 20"
