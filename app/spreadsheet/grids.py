"""A sheet as a grid of text: what a person sees in its cells, within bounds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from app.config import MAX_REQUEST_MB
from app.text import few_marks

MOST_ROWS = 30_000
MOST_COLUMNS = 120
MOST_CELL = 5000  # more than a note may have, so that what is cut off is told as too long
MOST_CELLS = 5_000_000  # with those that have nothing in them
MOST_LINES = 1_100_000  # with those that have nothing in them; a sheet of XLSX has 1,048,576

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


def bounded(lines: Iterable[Line]) -> list[Line]:
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
