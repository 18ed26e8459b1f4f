"""A CSV or XLSX file as it was sent, read into grids."""

from __future__ import annotations

import csv
from collections import Counter
from io import StringIO
from pathlib import Path

from app.config import MAX_REQUEST_BYTES
from app.spreadsheet.grids import (
    EMPTY,
    NO_ROWS,
    NO_TABLE,
    OLD_KIND,
    TOO_LARGE,
    UNREAD,
    Grid,
    Line,
    Unreadable,
    bounded,
)
from app.spreadsheet.xlsx import of_xlsx

MARKS = (",", ";", "\t", "|")


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
        found = list(of_xlsx(file)) if start.startswith(b"PK") else [_of_csv(file.read())]
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
        return Grid("", bounded(csv.reader(StringIO(text, newline=""), delimiter=mark)))
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


def _trimmed(lines: list[Line]) -> list[Line]:
    while lines and not any(lines[-1]):
        lines.pop()
    return lines
