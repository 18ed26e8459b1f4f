"""A CSV or XLSX file as grids of text: what a person sees in its cells.

Nothing is unpacked to the disk, no formula is worked out, and what a file says of its size is
believed before it is read.
"""

from __future__ import annotations

import csv
import zipfile
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from io import StringIO
from pathlib import Path
from typing import IO, Protocol

from app.config import MAX_REQUEST_BYTES, MAX_REQUEST_MB
from app.text import few_marks

MOST_ROWS = 30_000
MOST_COLUMNS = 120
MOST_SHEETS = 30
MOST_CELL = 5000  # more than a note may have, so that what is cut off is told as too long
MOST_CELLS = 5_000_000  # with those that have nothing in them
MOST_LINES = 1_100_000  # with those that have nothing in them; a sheet of XLSX has 1,048,576
MOST_UNPACKED = 200 * 1024**2
MOST_RATIO = 200
MOST_ENTRIES = 2000
MARKS = (",", ";", "\t", "|")

EMPTY = "The file is empty."
NO_TABLE = "This is no table: please send an XLSX file, or a CSV file in UTF-8."
TOO_MANY = "The file has more than {} sheets. Please leave only that of your brews."
OLD_KIND = "This is an older kind of spreadsheet file. Please save it as XLSX or CSV first."
BROKEN = "This spreadsheet is damaged, or it is no XLSX file."
TOO_LARGE = f"The file is larger than {MAX_REQUEST_MB} MB. Please split it."
SWOLLEN = "This file would unpack to far more than a table of brews holds, so it was not opened."
TOO_LONG = "The table has more than {} rows. Please split it."
TOO_WIDE = "The table has more than {} columns. Please leave only those of your brews."
NO_ROWS = "There is nothing in the table but its headings."
UNREAD = "The letters of this file cannot be read. Please save it as CSV in UTF-8."

Line = list[str]


class Cell(Protocol):
    """What is used of a cell of a workbook."""

    value: object
    data_type: str


class Unreadable(Exception):
    """The file cannot be taken; the argument is a sentence to show."""

    @property
    def why(self) -> str:
        return str(self.args[0])


@dataclass(frozen=True)
class Grid:
    """A sheet: its name, and its cells as text. Lines at its end that are empty are left out."""

    name: str
    lines: list[Line]


def grids_of(path: Path) -> list[Grid]:
    """The sheets that have anything in them, with at least two lines. Raises Unreadable."""
    if path.stat().st_size > MAX_REQUEST_BYTES:
        raise Unreadable(TOO_LARGE)
    with path.open("rb") as file:
        start = file.read(8)
        file.seek(0)
        if not start:
            raise Unreadable(EMPTY)
        if start.startswith(b"\xd0\xcf\x11\xe0"):
            raise Unreadable(OLD_KIND)
        found = list(_of_xlsx(file)) if start.startswith(b"PK") else [_of_csv(file.read())]
    filled = [Grid(grid.name, _trimmed(grid.lines)) for grid in found]
    filled = [grid for grid in filled if grid.lines]
    if not filled:
        raise Unreadable(EMPTY)
    enough = [grid for grid in filled if len(grid.lines) > 1]
    if not enough:
        raise Unreadable(NO_ROWS)
    return enough


def _of_csv(content: bytes) -> Grid:
    text = "" if content.startswith(b"%PDF") else _decoded(content)
    if not text or "\0" in text:
        raise Unreadable(NO_TABLE)
    mark = _mark_of(text)
    csv.field_size_limit(MAX_REQUEST_BYTES)
    try:
        return Grid("", _bounded(csv.reader(StringIO(text, newline=""), delimiter=mark)))
    except csv.Error:
        raise Unreadable(NO_TABLE) from None


def _decoded(content: bytes) -> str:
    """UTF-8 or UTF-16 as marked, else UTF-8, else the letters of western Windows."""
    kinds = ("utf-16",) if content[:2] in (b"\xff\xfe", b"\xfe\xff") else ("utf-8-sig", "cp1252")
    for kind in kinds:
        try:
            return content.decode(kind)
        except UnicodeDecodeError:
            continue
    raise Unreadable(UNREAD)


def _mark_of(text: str) -> str:
    """The mark between cells: that which gives most lines the same number of several cells."""
    first = "\n".join(text.splitlines()[:200])

    def steadiness(mark: str) -> tuple[int, int]:
        try:
            read = csv.reader(StringIO(first, newline=""), delimiter=mark)
            widths = Counter(len(line) for line in read)
        except csv.Error:
            return (0, 0)
        several = {width: count for width, count in widths.items() if width > 1}
        width = max(several, key=lambda one: (several[one], one), default=0)
        return (several.get(width, 0), width)

    return max(MARKS, key=steadiness)


def _of_xlsx(file: IO[bytes]) -> Iterator[Grid]:
    _refuse_swollen(file)
    from openpyxl import load_workbook

    try:
        worked = load_workbook(file, read_only=True, data_only=True)
        names = worked.sheetnames
        if len(names) > MOST_SHEETS:
            raise Unreadable(TOO_MANY.format(MOST_SHEETS))
        written = load_workbook(file, read_only=True)
        for name in names:
            values, formulas = worked[name], written[name]
            if not hasattr(values, "iter_rows"):  # a sheet that is a chart
                continue
            values.reset_dimensions()
            formulas.reset_dimensions()
            both = zip(values.iter_rows(), formulas.iter_rows(values_only=True), strict=False)
            yield Grid(name, _bounded([_text(*cell) for cell in _pairs(*lines)] for lines in both))
    except Unreadable:
        raise
    except Exception:
        raise Unreadable(BROKEN) from None


def _pairs(
    cells: tuple[Cell, ...], formulas: tuple[object, ...]
) -> Iterator[tuple[object, object]]:
    """Values with the formula where none was worked out; a text that is empty ("str") was."""
    for place, cell in enumerate(cells):
        is_open = cell.value is None and cell.data_type != "str" and place < len(formulas)
        yield cell.value, formulas[place] if is_open else None


def _refuse_swollen(file: IO[bytes]) -> None:
    try:
        entries = zipfile.ZipFile(file).infolist()
    except (zipfile.BadZipFile, OSError, ValueError):
        raise Unreadable(BROKEN) from None
    unpacked = sum(entry.file_size for entry in entries)
    ratio = max(
        (e.file_size / max(e.compress_size, 1) for e in entries if e.file_size > 2**20), default=0
    )
    if len(entries) > MOST_ENTRIES or unpacked > MOST_UNPACKED or ratio > MOST_RATIO:
        raise Unreadable(SWOLLEN)
    if "xl/workbook.xml" not in {entry.filename for entry in entries}:
        raise Unreadable(NO_TABLE)
    file.seek(0)


def _bounded(lines: Iterable[Line]) -> list[Line]:
    """The lines without what is empty at their ends. Raises Unreadable."""
    kept: list[Line] = []
    seen = 0
    for number, line in enumerate(lines, start=1):
        seen += len(line)
        while line and not line[-1]:
            line.pop()
        if len(line) > MOST_COLUMNS or seen > MOST_CELLS:
            raise Unreadable(TOO_WIDE.format(MOST_COLUMNS))
        if (number > MOST_ROWS and any(line)) or number > MOST_LINES:
            raise Unreadable(TOO_LONG.format(MOST_ROWS))
        if number <= MOST_ROWS:
            cells = [few_marks(cell[:MOST_CELL]).replace("\0", "").strip() for cell in line]
            kept.append(cells)
    return kept


def _trimmed(lines: list[Line]) -> list[Line]:
    while lines and not any(lines[-1]):
        lines.pop()
    return lines


def _text(value: object, formula: object) -> str:
    """As a person would type it: 93.5, 2026-03-05 07:30, 2:30."""
    if value is None:
        return "" if formula is None else str(getattr(formula, "text", formula))
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.12g}"
    if isinstance(value, datetime):
        whole = value.time() == time(0)
        return value.date().isoformat() if whole else value.strftime("%Y-%m-%d %H:%M")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, time):  # 2:30 typed into a cell is a time of day to the program
        return value.strftime("%-H:%M:%S") if value.second else value.strftime("%-H:%M")
    if isinstance(value, timedelta):
        seconds = round(value.total_seconds())
        return f"{seconds // 60}:{seconds % 60:02}"
    return str(value)
