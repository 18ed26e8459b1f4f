"""Whether values moved along an axis, such as a bag's days: one value a day, read at marks.

The evidence is Kendall's tau-b (see `kendall`), the marks and their bounds are those of `marks`.
The range of the slope holds what a look does not rule out, so a direction is claimed exactly
where the range leaves out 0, and the ranges of all looks hold together 19 times in 20.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import isfinite, sqrt
from statistics import fmean
from typing import Literal, NamedTuple

from app.sensory.lazy import np
from app.sensory.scores.kendall import Line, resemblance, slopes_within, widening
from app.sensory.scores.lowess import lowess
from app.sensory.scores.marks import ALLOWED, SPENT_BY, bounds

LEAST_DAYS = 5
NEWS = 1.001  # what the days' places have to be spread more by, for another look
DIGITS = 9  # equal means are equal, however they were added up

Way = Literal["rose", "fell"]


class Scored(NamedTuple):
    """One value: the day it is of (any number that names a day), its place on the axis, itself."""

    day: int
    x: float
    y: float


Points = tuple[Scored, ...]


@dataclass(frozen=True)
class Look:
    """What one look found in so many days, with one value each, of `cups`.

    `slope` is in y per unit of x, `low` and `high` the ends of its range (None: too few days to end
    it), `z` and `bound` the evidence and what it has to exceed, `widened` the factor that its
    variance took from days that resemble each other by `resembles`. `first` and `last` are the ends
    of the axis, `middle` a point of the line, `guide` are (x, y) of a smooth curve.
    """

    days: int
    cups: int
    tau: float
    z: float
    bound: float
    slope: float
    low: float | None
    high: float | None
    resembles: float
    widened: float
    first: float
    last: float
    middle: tuple[float, float]
    guide: tuple[tuple[float, float], ...]

    @property
    def way(self) -> Way | None:
        """The direction that is beyond chance, if one is."""
        if abs(self.z) <= self.bound:
            return None
        return "rose" if self.z > 0 else "fell"

    @property
    def ends(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """The line's ends, as (x, y)."""
        x, y = self.middle
        first, last = (y + self.slope * (end - x) for end in (self.first, self.last))
        return (self.first, first), (self.last, last)


@dataclass(frozen=True)
class Trend:
    """All looks so far; what one of them found stays found.

    `days` have a value by now; `next_mark` is the number of days at which it is read next, None
    after the end and beyond the last mark.
    """

    looks: tuple[Look, ...]
    days: int
    next_mark: int | None
    ended: bool

    @property
    def found(self) -> Look | None:
        """The first look with a direction."""
        return next((look for look in self.looks if look.way), None)


def read_trend(scored: Sequence[Scored], *, grain: float, ended: bool) -> Trend:
    """Read values, which stand in the order they were entered, at the marks they have passed.

    A mark is read with what had been entered when its last day got its first value, so that nothing
    entered later changes it. At the end (`ended`) all of it is read, from 5 days on. `grain` is the
    step of the scale: 1 for whole scores. Raises ValueError for a value that is not finite.
    """
    points = tuple(scored)
    if not all(isfinite(value) for point in points for value in point):
        raise ValueError("every value and its place need to be finite numbers")
    return _trend(points, grain, ended)


@lru_cache(maxsize=256)  # a page is opened often
def _trend(points: Points, grain: float, ended: bool) -> Trend:
    at_marks, days = _at_marks(points)
    parts = [(part, SPENT_BY[mark]) for mark, part in at_marks.items() if not ended or mark < days]
    if ended and days >= LEAST_DAYS:
        parts.append((points, ALLOWED))
    information: list[float] = []
    told: list[tuple[Points, float]] = []
    for part, spent in parts:
        spread = _spread(part)
        if spread <= 0:
            continue
        if information and spread < NEWS * information[-1]:
            if part is not points:
                continue
            # The end tells nothing new, and takes the place of the mark before it.
            information.pop()
            told.pop()
        information.append(spread)
        told.append((part, spent))
    found = bounds(tuple(information), tuple(spent for _, spent in told))
    looks = [_look(part, bound, grain) for (part, _), bound in zip(told, found, strict=True)]
    following = None if ended else next((mark for mark in SPENT_BY if mark > days), None)
    return Trend(tuple(looks), days, following, ended)


def _at_marks(points: Points) -> tuple[dict[int, Points], int]:
    """What had been entered at each mark that was reached, and the number of days by now."""
    days: set[int] = set()
    parts = {}
    for place, point in enumerate(points, start=1):
        before = len(days)
        days.add(point.day)
        if len(days) > before and len(days) in SPENT_BY:
            parts[len(days)] = points[:place]
    return parts, len(days)


def _spread(points: Points) -> float:
    """Sum of squares of the days' places, to which the variance of a slope is inverse."""
    places, _, _ = _by_day(points)
    return float(np.var(places) * len(places))


def _by_day(points: Points) -> tuple[list[float], list[float], list[int]]:
    """Mean place and value of each day, and its cups, along the axis."""
    by_day: dict[int, list[Scored]] = {}
    for point in points:
        by_day.setdefault(point.day, []).append(point)
    means = sorted(
        (fmean(p.x for p in day), number, round(fmean(p.y for p in day), DIGITS), len(day))
        for number, day in by_day.items()
    )
    return [m[0] for m in means], [m[2] for m in means], [m[3] for m in means]


# A mark that was read stays as it is.
@lru_cache(maxsize=1024)
def _look(points: Points, bound: float, grain: float) -> Look:
    places, values, cups = (np.array(part) for part in _by_day(points))
    # Means of two and of three whole scores lie a sixth apart at least.
    line = Line(places, values, grain / np.lcm.outer(cups, cups))
    slope, n, (tau, z) = line.slope(), len(places), line.evidence()
    rounded = grain * sqrt(float(np.mean(1 / cups)))
    resembles = resemblance(values - slope * places, rounded)
    widened = widening(n, resembles)
    low, high = slopes_within(line, bound, widened)
    first_of_x = np.concatenate(([True], np.diff(places) > 0))
    smooth = lowess(places, values)[first_of_x]
    centre = float(np.median(places))
    return Look(
        n, len(points), tau, z / sqrt(widened), bound, slope, low, high,
        resembles, widened, float(places[0]), float(places[-1]),
        (centre, float(np.median(values - slope * (places - centre)))),
        tuple(zip(places[first_of_x].tolist(), smooth.tolist(), strict=True)),
    )  # fmt: skip
