"""What the columns of a sheet were matched with, and what is asked once for all its rows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from app.brewing import bounds
from app.spreadsheet.cells import decimal_mark, number
from app.spreadsheet.days import day_order
from app.spreadsheet.fields import KNOWN
from app.spreadsheet.grids import Grid, Line
from app.spreadsheet.headings import Column, best, headed, scale_of, unit_of

# How a score becomes liking from 1 to 9: lowest and highest of the scale it was given on.
SCALES = {"9": (1, 9), "5": (1, 5), "10": (1, 10), "100": (0, 100), "stars": (0, 5)}
DAYS, NUMERIC = ("brewed_on", "roasted_on"), ("amount", "ratio", "liking", "duration")


@dataclass(frozen=True)
class Matching:
    """How a sheet is to be read. Columns by place; `first` is its first line (from 0) of a brew.

    `order` is empty while nobody has said which of day and month comes first. `brewer` and `bean`
    name those of rows that name none, `taster` whose scores they are.
    """

    columns: tuple[Column, ...]
    first: int
    order: str
    decimal: str
    scale: str
    brewer: str = ""
    new_kind: str = "other"
    bean: str = ""
    taster: str = ""

    def place_of(self, field: str) -> int | None:
        return next((n for n, column in enumerate(self.columns) if column.field == field), None)

    @property
    def fields(self) -> set[str]:
        return {column.field for column in self.columns}

    def plain(self) -> dict[str, object]:
        return asdict(self)

    @staticmethod
    def from_plain(plain: Mapping[str, object]) -> Matching:
        """The inverse of `plain`, also after a way through JSON."""
        said: Any = plain
        columns = tuple(Column(**column) for column in said["columns"])
        return Matching(**{**said, "columns": columns})


def guessed(grid: Grid) -> Matching:
    """As the headings and the cells themselves suggest."""
    found = headed(grid.lines)
    rows = grid.lines[found.first :]
    matching = Matching(tuple(found.columns), found.first, "", ".", "9")
    return read_on(_with_units(_weighed(matching, rows), rows), rows)


def read_on(matching: Matching, rows: Sequence[Line]) -> Matching:
    """What the cells of the columns that were matched say of themselves."""
    numbers = [
        text
        for place, column in enumerate(matching.columns)
        if column.field in KNOWN and KNOWN[column.field].kind in NUMERIC
        for text in texts_of(rows, place)
    ]
    days = [text for field in DAYS for text in texts_of(rows, matching.place_of(field))]
    return replace(
        matching,
        decimal=decimal_mark(numbers),
        order=day_order(days) or "",
        scale=_scale(matching, rows),
    )


def texts_of(rows: Sequence[Line], place: int | None) -> list[str]:
    return [row[place] for row in rows if place is not None and place < len(row) and row[place]]


def _weighed(matching: Matching, rows: Sequence[Line]) -> Matching:
    """A column called coffee that holds weights is the dose."""
    called = [n for n, column in enumerate(matching.columns) if best(column.heading)[1] == "bean"]
    weights = [n for n in called if _are_numbers(rows, n)]
    names = [n for n in called if n not in weights]
    place = matching.place_of("bean")
    if place is not None and _are_numbers(rows, place):
        return _put(matching, {place: "dose_g", **dict.fromkeys(names[:1], "bean")})
    if "dose_g" in matching.fields:
        return matching
    return _put(matching, dict.fromkeys(weights[:1], "dose_g"))


def _put(matching: Matching, fields: dict[int, str]) -> Matching:
    columns = [
        replace(column, field=fields[n], unit=unit_of(column.heading, fields[n]))
        if n in fields
        else column
        for n, column in enumerate(matching.columns)
    ]
    return replace(matching, columns=tuple(columns))


def _are_numbers(rows: Sequence[Line], place: int) -> bool:
    texts = texts_of(rows, place)
    return bool(texts) and len(numbers_of(rows, place)) >= 0.8 * len(texts)


def _with_units(matching: Matching, rows: Sequence[Line]) -> Matching:
    """Temperatures that cannot be °C are °F, unless the heading says otherwise."""
    place = matching.place_of("water_temp_c")
    if place is None or matching.columns[place].unit:
        return matching
    hottest = bounds.WATER_TEMP_C[1]
    values = numbers_of(rows, place)
    if not values or sum(value > hottest for value in values) * 2 < len(values):
        return matching
    columns = list(matching.columns)
    columns[place] = replace(columns[place], unit="°F")
    return replace(matching, columns=tuple(columns))


def _scale(matching: Matching, rows: Sequence[Line]) -> str:
    place = matching.place_of("liking")
    if place is None:
        return "9"
    said = scale_of(matching.columns[place].heading)
    if said:
        return said
    heads = "star" in matching.columns[place].heading.lower()
    values = numbers_of(rows, place)
    low = [value for value in values if value <= 10]
    if len(low) * 2 < len(values):
        return "100"
    most = max(low, default=9)  # a lone 12 is a slip of the pen, and named as one
    if heads and most <= 5:
        return "stars"
    return "10" if most > 9 else "9" if most > 5 else "5"


def numbers_of(rows: Sequence[Line], place: int) -> list[float]:
    found = []
    for text in texts_of(rows, place):
        for decimal in (".", ","):
            try:
                found.append(number(text, decimal))
                break
            except ValueError:
                continue
    return found
