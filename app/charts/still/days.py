"""The marks of an axis of time: hours where hours are asked for, else whole days, months, years."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

from app.charts.still.letters import BREAK
from app.charts.still.signs import Signs
from app.charts.still.ticks import Stretch, Ticks
from app.charts.still.values import DAY, EPOCH, seconds, wall

HOURS = (1, 2, 3, 6, 12, 24)
DAYS = (1, 2, 3, 7, 14)
MONTHS = (1, 3, 6)
YEARS = (1, 2, 5, 10, 20, 50, 100, 500)
LONGEST = 400  # marks that are looked at; more have no room on any axis
MONDAY = datetime(1970, 1, 5)  # noqa: DTZ001


def hours(stretch: Stretch, signs: Signs) -> Ticks:
    """Times of day: 7:00, 10:00."""
    for step in HOURS:
        at = _every(stretch, EPOCH, timedelta(hours=step))
        ticks = _ticks(at, lambda moment, _: signs.hour(moment))
        if len(at) < LONGEST and stretch.fits(ticks):
            return ticks
    return days(stretch, signs)


def days(stretch: Stretch, signs: Signs) -> Ticks:
    """Days such as 28 Jun; the year stands below the first and where it has changed."""
    for step in DAYS:
        at = _every(stretch, MONDAY if step % 7 == 0 else EPOCH, timedelta(days=step))
        ticks = _ticks(at, _with_year(signs.day))
        if len(at) < LONGEST and stretch.fits(ticks):
            return ticks
    for step in MONTHS:
        ticks = _ticks(
            list(_months(stretch, step)), _with_year(lambda m: signs.months[m.month - 1])
        )
        if stretch.fits(ticks):
            return ticks
    for step in YEARS:
        ticks = _ticks(list(_months(stretch, 12 * step)), lambda moment, _: str(moment.year))
        if stretch.fits(ticks):
            return ticks
    return Ticks([], [])


def _every(stretch: Stretch, origin: datetime, step: timedelta) -> list[datetime]:
    """No more than LONGEST."""
    start = seconds(origin) or 0.0
    width = step.total_seconds()
    first = -int((start - stretch.low) // width)  # the first multiple that is not before the axis
    last = int((stretch.high - start) // width)
    return [wall(start + n * width) for n in range(first, min(last, first + LONGEST) + 1)]


def _months(stretch: Stretch, step: int) -> Iterator[datetime]:
    low, high = wall(stretch.low), wall(stretch.high)
    month = -(-(low.year * 12 + low.month - 1) // step) * step
    for n in range(LONGEST):
        year, at = divmod(month + n * step, 12)
        moment = datetime(year, at + 1, 1)  # noqa: DTZ001
        if moment > high:
            return
        if moment >= low:
            yield moment


def _ticks(at: list[datetime], text: Callable[[datetime, datetime | None], str]) -> Ticks:
    before = [None, *at[:-1]]
    places = [(moment - EPOCH).total_seconds() for moment in at]
    return Ticks(places, [text(moment, last) for moment, last in zip(at, before, strict=True)])


def _with_year(write: Callable[[datetime], str]) -> Callable[[datetime, datetime | None], str]:
    def text(moment: datetime, last: datetime | None) -> str:
        told = last is not None and last.year == moment.year
        return write(moment) if told else f"{write(moment)}{BREAK}{moment.year}"

    return text


def half_a_day(low: float, high: float) -> tuple[float, float]:
    """Room beside the first and the last day, so that few days do not stand at the edge."""
    spare = max(DAY / 2, 0.04 * (high - low))
    return low - spare, high + spare
