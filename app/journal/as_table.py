"""Rows of a list as CSV (RFC 4180, UTF-8) for other programs, guarded against formulas.

Columns are the fields of a NamedTuple. A moment becomes two: `..._utc`, and `..._local` with the
clock of where it was noted. Names end in their unit; numbers have a point, whatever the household
reads; what was not noted is empty.
"""

import csv
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime
from io import StringIO
from itertools import islice
from typing import Generic, NamedTuple, TypeVar, get_type_hints
from zoneinfo import ZoneInfo

from app.journal.paging import Page
from app.models.tastings import JUST_RIGHT_SCALES

Row = TypeVar("Row")
Part = TypeVar("Part")
# What a spreadsheet takes for the beginning of a formula; a text of ours in which quotes stand
# before it gets one more, so that taking one away gives back what was there.
FORMULA = re.compile(r"'*[=+\-@\t\r\n＝＋－＠]")
LINES_AT_ONCE = 200
DIGITS = 6
WITH_UNIT = {"liking": "liking_1_to_9"} | {
    f"jar_{scale}": f"jar_{scale}_1_to_5" for scale in JUST_RIGHT_SCALES
}


class Column(NamedTuple, Generic[Row]):
    """What heads it, and what stands in it of a row, whose local times are told in a zone."""

    name: str
    of: Callable[[Row, str], object]


def safe_cell(value: object) -> object:
    """A text that a spreadsheet would take for a formula gets a quote in front; numbers stay."""
    if isinstance(value, str):
        return f"'{value}" if FORMULA.match(value) else value
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return round(value, DIGITS)
    if isinstance(value, datetime):
        return utc(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Iterable):
        return safe_cell("; ".join(map(str, value)))
    return "" if value is None else value


def utc(moment: datetime) -> str:
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ")


def in_zone(moment: datetime, zone: str) -> str:
    return moment.astimezone(ZoneInfo(zone)).isoformat(timespec="seconds")


def columns(kind: str, row_type: type[Row]) -> list[Column[Row]]:
    """A column for each field of a NamedTuple; its `id` is named by the `kind` of the rows."""
    found: list[Column[Row]] = []
    for name, of in get_type_hints(row_type).items():
        if name == "id":
            found.append(field(name, f"{kind}_id"))
        elif of in (datetime, datetime | None):
            found += (field(name, f"{name}_utc"), Column(f"{name}_local", _local(name)))
        else:
            found.append(field(name, WITH_UNIT.get(name, name)))
    return found


def field(name: str, head: str = "") -> Column[Row]:
    """A field of any row that has one of this name."""
    return Column(head or name, lambda row, _zone: getattr(row, name))


def of_part(part: Callable[[Row], Part], head: Iterable[Column[Part]]) -> list[Column[Row]]:
    """The columns of a part of each row."""

    def taken(column: Column[Part]) -> Column[Row]:
        return Column(column.name, lambda row, zone: column.of(part(row), zone))

    return [taken(column) for column in head]


def lines(head: Sequence[Column[Row]], rows: Iterable[Row], zone: str) -> Iterator[str]:
    """The head, then the rows, some at a time; `zone` is for those that note none of their own."""
    text = StringIO()
    sheet = csv.writer(text, lineterminator="\r\n")
    sheet.writerow([column.name for column in head])
    for number, row in enumerate(rows, start=1):
        of = getattr(row, "zone", zone)
        sheet.writerow([safe_cell(column.of(row, of)) for column in head])
        if number % LINES_AT_ONCE == 0:
            yield text.getvalue()
            text.seek(0)
            text.truncate()
    yield text.getvalue()


def every(page: Callable[[Mapping[str, str]], Page[Row]]) -> Iterator[Row]:
    """All rows of a list that is read page by page, from new to old."""
    found = page({})
    yield from found.rows
    while found.older:
        found = page({"before": found.older})
        yield from found.rows


def in_batches(rows: Iterable[Row]) -> Iterator[list[Row]]:
    """As many rows together as are written together."""
    left = iter(rows)
    while batch := list(islice(left, LINES_AT_ONCE)):
        yield batch


def _local(name: str) -> Callable[[Row, str], object]:
    def local(row: Row, zone: str) -> object:
        moment: datetime | None = getattr(row, name)
        if moment is None:
            return None
        return in_zone(moment, zone)

    return local
