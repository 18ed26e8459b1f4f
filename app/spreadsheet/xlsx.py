"""The sheets of a workbook.

Nothing is unpacked to the disk, no formula is worked out, and what a file says of its size is
believed before it is read.
"""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import IO, Protocol

from app.spreadsheet.grids import BROKEN, NO_TABLE, SWOLLEN, TOO_MANY, Grid, Unreadable, bounded

MOST_SHEETS = 30
MOST_UNPACKED = 200 * 1024**2
MOST_RATIO = 200
MOST_ENTRIES = 2000


class Cell(Protocol):
    """What is used of a cell of a workbook."""

    value: object
    data_type: str


def of_xlsx(file: IO[bytes]) -> Iterator[Grid]:
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
            yield Grid(name, bounded([_text(*cell) for cell in _pairs(*lines)] for lines in both))
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
