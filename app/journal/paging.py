"""Long lists a page at a time, by the last row's sort key: as quick at the end as at the start."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Generic, TypeVar

from sqlalchemy import Date, Dialect, Select, SQLColumnExpression, tuple_
from sqlalchemy.types import TypeDecorator

ROWS_A_PAGE = 50
MARK = re.compile(r"(\d{1,17})-(\d{1,9})", re.ASCII)
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)

Row = TypeVar("Row")
Query = TypeVar("Query", bound=Select[*tuple[object, ...]])
Key = tuple[datetime, int]


@dataclass(frozen=True)
class Page(Generic[Row]):
    """Rows from new to old, and the marks of the pages on either side."""

    rows: Sequence[Row]
    older: str | None
    newer: str | None


def read_page(
    fetch: Callable[[Query], Sequence[Row]],
    query: Query,
    moment: SQLColumnExpression[object],
    row_id: SQLColumnExpression[int],
    key: Callable[[Row], Key],
    args: Mapping[str, str],
    most: int = ROWS_A_PAGE,
) -> Page[Row]:
    """One page of `query` by (moment, id) from new to old; `before`/`after` are marks."""
    before, after = read_mark(args.get("before", "")), read_mark(args.get("after", ""))
    pair = tuple_(moment, row_id)
    if after and not before:
        rows = fetch(_limited(query.where(pair > after), most, moment.asc(), row_id.asc()))
        more_newer, rows = len(rows) > most, list(rows[:most])[::-1]
        more_older = bool(rows)
    else:
        narrowed = query.where(pair < before) if before else query
        rows = fetch(_limited(narrowed, most, moment.desc(), row_id.desc()))
        more_older, rows = len(rows) > most, rows[:most]
        more_newer = bool(before and rows)
    return Page(
        rows,
        older=write_mark(key(rows[-1])) if rows and more_older else None,
        newer=write_mark(key(rows[0])) if rows and more_newer else None,
    )


def page_of(every: Sequence[Row], key: Callable[[Row], Key], args: Mapping[str, str]) -> Page[Row]:
    """One page of rows that are all known, given from new to old; marks as in `read_page`."""
    before, after = read_mark(args.get("before", "")), read_mark(args.get("after", ""))
    if after and not before:
        start = max(sum(key(row) > after for row in every) - ROWS_A_PAGE, 0)
    else:
        start = sum(key(row) >= before for row in every) if before else 0
    rows = every[start : start + ROWS_A_PAGE]
    return Page(
        rows,
        older=write_mark(key(rows[-1])) if start + len(rows) < len(every) else None,
        newer=write_mark(key(rows[0])) if rows and start else None,
    )


def _limited(query: Query, most: int, *order: SQLColumnExpression[object]) -> Query:
    return query.order_by(*order).limit(most + 1)


@dataclass(frozen=True)
class PlacedPage(Generic[Row]):
    """Some rows of a list that is known whole, from the place `start` on, `most` at a time."""

    rows: Sequence[Row]
    start: int
    count: int
    most: int

    @property
    def older(self) -> int | None:
        """Where the next page starts."""
        return self.start + self.most if self.start + self.most < self.count else None

    @property
    def newer(self) -> int | None:
        return max(self.start - self.most, 0) if self.start else None

    @property
    def after_one_less(self) -> int:
        """The page that is still there once one of these rows is gone."""
        return self.start if len(self.rows) > 1 else self.newer or 0


def placed(every: Sequence[Row], start: int, most: int) -> PlacedPage[Row]:
    """The page from a place on. Raises LookupError beyond the end; an empty list has one page."""
    if start and start >= len(every):
        raise LookupError(f"{start} of {len(every)}")
    return PlacedPage(every[start : start + most], start, len(every), most)


@dataclass(frozen=True)
class NumberedPage(Generic[Row]):
    """Rows from the highest number down, and the number that the next page starts at."""

    rows: Sequence[Row]
    next_start: int | None


def read_numbered(
    fetch: Callable[[Query], Sequence[Row]],
    query: Query,
    number: SQLColumnExpression[int],
    key: Callable[[Row], int],
    start: int | None,
) -> NumberedPage[Row]:
    """One page of `query` by a number of its own, from `start` down."""
    narrowed = query.where(number <= start) if start else query
    rows = fetch(_limited(narrowed, ROWS_A_PAGE, number.desc()))
    more = rows[ROWS_A_PAGE:]
    return NumberedPage(rows[:ROWS_A_PAGE], key(more[0]) if more else None)


def write_mark(key: Key) -> str:
    moment, row_id = key
    return f"{(moment - EPOCH) // timedelta(microseconds=1)}-{row_id}"


def read_mark(text: str) -> Key | None:
    """The sort key a mark stands for; anything else is no mark."""
    match = MARK.fullmatch(text)
    if not match:
        return None
    try:
        return EPOCH + timedelta(microseconds=int(match[1])), int(match[2])
    except OverflowError:
        return None


class DayKey(TypeDecorator[date]):
    """A day column that is compared with the midnight that a page mark holds."""

    impl = Date
    cache_ok = True

    def process_bind_param(self, value: date | None, dialect: Dialect) -> date | None:
        return value.date() if isinstance(value, datetime) else value


def midnight(day: date) -> datetime:
    """What a page mark holds for a day."""
    return datetime.combine(day, time(), UTC)
