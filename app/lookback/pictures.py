"""Small pictures of bags, and of a year, with shared axes."""

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from app.charts.figure import Figure
from app.charts.small import small
from app.formats import MONTHS
from app.journal.lookback.bags import BagRow, Cup, DayScore
from app.journal.scores import OneTaster
from app.lookback.words import ALONG, LEAST_DRAWN

DAYS_A_YEAR = 366
# The first day of every third month, as a day of a leap year.
QUARTERS = (1.0, 92.0, 183.0, 275.0)


class Picture(NamedTuple):
    """What one bag is drawn from: its cups and a figure; None where there are too few."""

    bag: BagRow
    cups: int
    figure: Figure | None
    measured: int


Value = Callable[[Cup], float | None]


def _strength(cup: Cup) -> float | None:
    known = cup.brew.estimate.strength_pct
    return known.value if known else None


VALUES: Mapping[str, Value] = {
    "rest": lambda cup: cup.rest,
    "use": lambda cup: cup.use,
    "ratio": lambda cup: cup.brew.cup.water_g / cup.brew.cup.dose_g,
    "strength": _strength,
}


def of_bags(
    bags: Sequence[BagRow], cups: Mapping[int, Sequence[Cup]], scored: OneTaster, along: str
) -> list[Picture]:
    """A picture for each bag: one taster's scores; all x axes are the same."""
    value = VALUES[along]
    own = {bag.id: _points(cups[bag.id], scored.taster_id, value) for bag in bags}
    places = [x for of in own.values() if len(of) >= LEAST_DRAWN for x, _ in of]
    ends = _around(places) if places else (0.0, 1.0)
    return [
        Picture(
            bag,
            len(own[bag.id]),
            small([x for x, _ in own[bag.id]], [y for _, y in own[bag.id]], ALONG[along][1], ends)
            if len(own[bag.id]) >= LEAST_DRAWN
            else None,
            sum(cup.brew.estimate.measured for cup in cups[bag.id]),
        )
        for bag in bags
    ]


def _points(cups: Sequence[Cup], taster_id: int | None, value: Value) -> list[tuple[float, float]]:
    return [
        (float(x), float(score.liking))
        for cup in cups
        for score in cup.scores
        if score.taster_id == taster_id and (x := value(cup)) is not None
    ]


def _around(places: Sequence[float]) -> tuple[float, float]:
    low, high = min(places), max(places)
    room = (high - low) * 0.06 or 0.5
    return low - room, high + room


def of_year(scores: Sequence[DayScore], taster_id: int | None) -> tuple[int, Figure | None]:
    """How many scores one taster gave in a year, and their day means over its months."""
    own = [score for score in scores if score.taster_id == taster_id]
    days = [float(score.brewed_on.replace(year=2024).timetuple().tm_yday) for score in own]
    count = sum(score.n for score in own)
    if count < LEAST_DRAWN:
        return count, None
    ticks = (QUARTERS, [MONTHS[n] for n in (0, 3, 6, 9)])
    ends = (0.0, DAYS_A_YEAR + 1.0)
    return count, small(days, [float(one.liking) for one in own], "day of the brew", ends, ticks)
