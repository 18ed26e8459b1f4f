"""A year of days as tables, a month each."""

from calendar import Calendar
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

from app.journal.lookback.months import Span

STRENGTHS = (1, 2, 4)  # brews a day from which a day is drawn stronger
FIRST, LAST = 1970, 2200


class Day(NamedTuple):
    """A day of the month, its brews, and how strongly it is drawn; 0 has no brew."""

    number: int
    on: str
    brews: int
    shade: int


@dataclass(frozen=True, slots=True)
class MonthTable:
    """`weeks` run from Monday; None is a day of another month."""

    number: int
    brews: int
    weeks: list[list[Day | None]]


def month_table(year: int, month: int, brews: Mapping[date, int]) -> MonthTable:
    weeks = [
        [_day(on, brews.get(on, 0)) if on.month == month else None for on in week]
        for week in Calendar().monthdatescalendar(year, month)
    ]
    total = sum(day.brews for week in weeks for day in week if day)
    return MonthTable(month, total, weeks)


def _day(on: date, brews: int) -> Day:
    return Day(on.day, on.isoformat(), brews, sum(brews >= least for least in STRENGTHS))


def span_of(year: int, month: int) -> Span:
    first = date(year, month, 1)
    return Span(first, date(year + month // 12, month % 12 + 1, 1) - timedelta(days=1))


def month_before(year: int, month: int) -> tuple[int, int]:
    return (year, month - 1) if month > 1 else (year - 1, 12)
