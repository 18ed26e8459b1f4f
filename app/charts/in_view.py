"""How far an axis reaches, so that a few values far away do not flatten all the others.

A value is far away where it lies more than three times the width of the middle half of all values
beyond that half (the outer fence of Tukey, Exploratory Data Analysis, 1977, from memory). Far
values are left out of view only where they are few, and where they would take half of the axis;
the chart says how many they are, and its table lists them like any other.
"""

from collections.abc import Sequence
from math import floor, log10
from typing import NamedTuple

from app.charts.figure import Figure, note

LEAST_VALUES = 10
FENCE = 3.0
MOST_OUTSIDE = 0.1  # of all values: more of them are no strays
FLATTENED = 2.0  # times as long as without them
SPARE = 0.06


class View(NamedTuple):
    """The ends of an axis, and how many values lie below and above it."""

    low: float
    high: float
    below: int
    above: int

    @property
    def range(self) -> list[float]:
        digits = 3 - floor(log10(self.high - self.low))
        return [round(self.low, digits), round(self.high, digits)]

    @property
    def words(self) -> str:
        total = self.below + self.above
        first = f"{total} {'lies' if total == 1 else 'lie'}"
        if self.below and self.above:
            return f"{first} outside this chart: {self.below} below, {self.above} above"
        return f"{first} {'below' if self.below else 'above'} this chart"


def in_view(
    values: Sequence[float], bars: Sequence[tuple[float, float]] = (), kept: Sequence[float] = ()
) -> View | None:
    """None where the axis may hold everything. `bars` are the ranges drawn about the values, one
    each or none at all; `kept` is what has to be seen wherever it lies, such as cups A and B."""
    if len(values) < LEAST_VALUES:
        return None
    low, high = _ends_of_near(values, bars, kept)
    below, above = (sum(v < low for v in values), sum(v > high for v in values))
    few = 0 < below + above <= MOST_OUTSIDE * len(values)
    long = max(*values, *kept) - min(*values, *kept) > FLATTENED * (high - low) > 0
    return View(low, high, below, above) if few and long else None


def _ends_of_near(
    values: Sequence[float], bars: Sequence[tuple[float, float]], kept: Sequence[float]
) -> tuple[float, float]:
    ordered, quarter = sorted(values), len(values) // 4
    first, third = ordered[quarter], ordered[-1 - quarter]
    reach = FENCE * (third - first)
    near = [n for n, v in enumerate(values) if first - reach <= v <= third + reach]
    ends = [*kept, *(values[n] for n in near), *(end for n in near if bars for end in bars[n])]
    low, high = min(ends), max(ends)
    spare = SPARE * (high - low)
    floor = 0.0 if low >= 0 else low - spare
    return max(floor, low - spare), high + spare


def told(view: View, *, top: float = 1.0) -> Figure:
    """The words as an annotation, over the plot that ends at `top` of the chart."""
    return note(
        view.words, xref="paper", x=0, xanchor="left", yref="paper", y=top, yanchor="bottom"
    )
