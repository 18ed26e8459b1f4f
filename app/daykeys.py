"""Lists sorted by a day, paged with the same marks as lists sorted by a moment."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

from sqlalchemy import Date, Dialect
from sqlalchemy.types import TypeDecorator


class DayKey(TypeDecorator[date]):
    """A day column that is compared with the midnight that a page mark holds."""

    impl = Date
    cache_ok = True

    def process_bind_param(self, value: date | None, dialect: Dialect) -> date | None:
        return value.date() if isinstance(value, datetime) else value


def midnight(day: date) -> datetime:
    """What a page mark holds for a day."""
    return datetime.combine(day, time(), UTC)
