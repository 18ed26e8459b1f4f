"""The marks of an axis of time: hours where hours are asked for, else whole days, months, years."""

from collections.abc import Callable, Iterator
from datetime import MAXYEAR, datetime
from math import ceil, floor

from app.charts.still.letters import BREAK
from app.charts.still.signs import Signs
from app.charts.still.ticks import Stretch, Ticks
from app.charts.still.values import DAY, EPOCH, seconds, wall

HOUR = 3600.0
HOURS = (1, 2, 3, 4, 6, 12, 24)
DAYS = (1, 2, 3, 7, 14)
MONTHS = (1, 3, 6)
YEARS = (1, 2, 5, 10, 20, 50, 100, 500, 1000, 5000)
MONDAY = datetime(1970, 1, 5)  # noqa: DTZ001


def hours(stretch: Stretch, signs: Signs) -> Ticks:
    """Times of day: 7:00, 10:00."""
    for step in HOURS:
        if stretch.has_room(step * HOUR):
            ticks = _ticks(_every(stretch, EPOCH, step * HOUR), lambda at, _: signs.hour(at))
            if stretch.fits(ticks):
                return ticks
    return days(stretch, signs)


def days(stretch: Stretch, signs: Signs) -> Ticks:
    """Days such as 28 Jun; the year stands below the first and where it has changed."""
    for step in DAYS:
        if stretch.has_room(step * DAY):
            origin = MONDAY if step % 7 == 0 else EPOCH
            ticks = _ticks(_every(stretch, origin, step * DAY), _with_year(signs.day))
            if stretch.fits(ticks):
                return ticks
    for step in (*MONTHS, *(12 * years for years in YEARS)):
        if stretch.has_room(step * 28 * DAY):
            write = _year if step >= 12 else _with_year(lambda at: signs.months[at.month - 1])
            ticks = _ticks(list(_months(stretch, step)), write)
            if stretch.fits(ticks):
                return ticks
    return Ticks([], [])


def _every(stretch: Stretch, origin: datetime, step: float) -> list[datetime]:
    start = seconds(origin) or 0.0
    first, last = ceil((stretch.low - start) / step), floor((stretch.high - start) / step)
    return [wall(start + n * step) for n in range(first, last + 1)]


def _months(stretch: Stretch, step: int) -> Iterator[datetime]:
    low, high = wall(stretch.low), wall(stretch.high)
    month = -(-(low.year * 12 + low.month - 1) // step) * step
    while month < 12 * MAXYEAR:
        moment = datetime(month // 12, month % 12 + 1, 1)  # noqa: DTZ001
        if moment > high:
            return
        if moment >= low:
            yield moment
        month += step


def _ticks(at: list[datetime], text: Callable[[datetime, datetime | None], str]) -> Ticks:
    before = [None, *at[:-1]]
    places = [(moment - EPOCH).total_seconds() for moment in at]
    return Ticks(places, [text(moment, last) for moment, last in zip(at, before, strict=True)])


def _year(moment: datetime, _last: datetime | None) -> str:
    return str(moment.year)


def _with_year(write: Callable[[datetime], str]) -> Callable[[datetime, datetime | None], str]:
    def text(moment: datetime, last: datetime | None) -> str:
        told = last is not None and last.year == moment.year
        return write(moment) if told else f"{write(moment)}{BREAK}{moment.year}"

    return text


def an_hour(low: float, high: float) -> tuple[float, float]:
    """Room beside the times of one day."""
    spare = 0.02 * (high - low) or HOUR
    return low - spare, high + spare


def half_a_day(low: float, high: float) -> tuple[float, float]:
    """Room beside the first and the last day, so that few days do not stand at the edge."""
    spare = max(DAY / 2, 0.04 * (high - low))
    return low - spare, high + spare
