"""All lines of a sheet: those that are brews, and what is wrong with those that cannot be."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from app.spreadsheet.brews import BrewReader, SheetBrew
from app.spreadsheet.grids import Line
from app.spreadsheet.line import Problem
from app.spreadsheet.matching import Matching, numbers_of


@dataclass(slots=True)
class ReadSheet:
    """All lines of a sheet: brews, lines with problems (by their number), and those left out."""

    brews: list[SheetBrew] = field(default_factory=list)
    problems: dict[int, list[Problem]] = field(default_factory=dict)
    left_out: list[int] = field(default_factory=list)


Mended = Mapping[int, Mapping[int, str]]


def read_sheet(
    lines: Sequence[Line],
    matching: Matching,
    zone: str,
    now: datetime,
    mended: Mended,
    left_out: set[int],
    told: Callable[[int], None] = lambda _number: None,
) -> ReadSheet:
    """Read every line from `matching.first` on, numbered as in the sheet, from 1.

    `mended` has the cells written anew, by line and column; `told` hears of every line."""
    read = ReadSheet()
    reader = BrewReader(matching, zone, now, _is_hot(lines, matching))
    for number, line in _numbered(lines, matching, mended):
        told(number)
        if number in left_out:
            read.left_out.append(number)
            continue
        brew = reader.read(number, line)
        if isinstance(brew, SheetBrew):
            read.brews.append(brew)
        else:
            read.problems[number] = brew
    return read


def _is_hot(lines: Sequence[Line], matching: Matching) -> bool:
    """Whether a column of °F has water that was hot, so that a bare 93 among it is doubtful."""
    place = matching.place_of("water_temp_c")
    rows = lines[matching.first :]
    return place is not None and any(value > 100 for value in numbers_of(rows, place))


def _numbered(
    lines: Sequence[Line], matching: Matching, mended: Mended
) -> Iterator[tuple[int, Line]]:
    width = len(matching.columns)
    for number, line in enumerate(lines[matching.first :], start=matching.first + 1):
        if not any(line):
            continue
        whole = [*line, *[""] * (width - len(line))]
        for place, text in mended.get(number, {}).items():
            if place < width:
                whole[place] = text.strip()
        yield number, whole
