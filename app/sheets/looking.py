"""What a kept sheet would bring: its lines read with what was chosen, against the journal."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import sha256

from sqlalchemy.orm import Session

from app.sheets.keeping import State
from app.sheets.words import NO_BREWER, NO_TASTER, UNDECIDED
from app.spreadsheet.brews import SheetBrew
from app.spreadsheet.days import day_order
from app.spreadsheet.grids import Grid
from app.spreadsheet.line import Problem
from app.spreadsheet.matching import DAYS, texts_of
from app.spreadsheet.names import Counts, counts, ids_by_name, there_already
from app.spreadsheet.rows import ReadSheet, read_sheet

UNNAMED = "?"  # until it is said who or what it is


@dataclass(frozen=True)
class Asked:
    """What has to be said once for all lines, with the sentence where it is missing."""

    order: str = ""
    brewer: str = ""
    taster: str = ""

    def __bool__(self) -> bool:
        return bool(self.order or self.brewer or self.taster)


@dataclass(frozen=True)
class Look:
    """The lines of a sheet as they would come in. `twins` are lines that are here already."""

    read: ReadSheet
    brews: list[SheetBrew]
    twins: list[int]
    counts: Counts
    asked: Asked

    @property
    def problems(self) -> dict[int, list[Problem]]:
        return self.read.problems

    @property
    def is_ready(self) -> bool:
        return not self.problems and not self.asked and bool(self.brews)


def look(session: Session, grid: Grid, kept: State, now: datetime) -> Look:
    asked = _asked(grid, kept)
    matching = kept.matching
    if asked.brewer or asked.taster:  # asked once, not of every line
        matching = replace(
            matching, brewer=matching.brewer or UNNAMED, taster=matching.taster or UNNAMED
        )
    read = read_sheet(
        grid.lines, matching, kept.zone, now, kept.mended, set(kept.left_out)
    )  # fmt: skip
    twins = there_already(session, read.brews)
    brews = read.brews
    if not kept.bring_twins:
        here = set(twins)
        brews = [brew for brew in brews if brew.number not in here]
    new = counts(brews, ids_by_name(session))
    named = replace(
        new,
        brewers=[name for name in new.brewers if name != UNNAMED],
        tasters=[name for name in new.tasters if name != UNNAMED],
    )
    return Look(read, brews, twins, named, asked)


def _asked(grid: Grid, kept: State) -> Asked:
    matching, lines = kept.matching, grid.lines[kept.matching.first :]
    days = [text for name in DAYS for text in texts_of(lines, matching.place_of(name))]
    unread = not matching.order and day_order(days) is None
    return Asked(
        order=UNDECIDED if unread else "",
        brewer=NO_BREWER if not matching.brewer and _has_gaps(grid, kept, "brewer") else "",
        taster=NO_TASTER if not matching.taster and _has_gaps(grid, kept, "taster") else "",
    )


def _has_gaps(grid: Grid, kept: State, name: str) -> bool:
    """Whether lines lack a name that they need; of a taster only lines with a score do."""
    matching, place = kept.matching, kept.matching.place_of(name)
    of = matching.place_of("liking") if name == "taster" else None
    if name == "taster" and of is None:
        return False
    for number, line in enumerate(grid.lines[matching.first :], start=matching.first + 1):
        if not any(line) or number in kept.left_out:
            continue
        needed = of is None or bool(_at(line, of))
        if needed and not _at(line, place) and not _mended(kept, number, place):
            return True
    return False


def _mended(kept: State, number: int, place: int | None) -> str:
    return "" if place is None else kept.mended.get(number, {}).get(place, "")


def _at(line: list[str], place: int | None) -> str:
    return "" if place is None or place >= len(line) else line[place]


def shown(kept: State) -> str:
    """A mark of what was shown, so that nothing else is brought in than that."""
    return sha256(repr(kept).encode()).hexdigest()[:16]
