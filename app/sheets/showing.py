"""The page of a kept sheet: its columns, what it would bring, and the lines with problems."""

from __future__ import annotations

from flask import render_template

from app.sheets import words
from app.sheets.forms import AskedForm
from app.sheets.keeping import State
from app.sheets.looking import look, shown
from app.spreadsheet.fields import KNOWN
from app.spreadsheet.grids import Grid
from app.spreadsheet.headings import Column
from app.web import clock
from app.web.session import reading

MOST_LINES = 40  # with problems, shown at once
EXAMPLES = 3


def kept_page(upload_id: int, kept: State, grids: list[Grid]) -> str:
    grid = grids[kept.sheet]
    seen = look(reading(), grid, kept, clock.now())
    problems = list(seen.problems.items())[:MOST_LINES]
    return render_template(
        "sheets/show.html",
        kept=kept, upload_id=upload_id, names=[grid.name for grid in grids], seen=seen,
        columns=_columns(kept, grid), known=KNOWN, fields=words.FIELDS,
        form=AskedForm(obj=kept.matching), brings=words.brings(seen.counts),
        read_as=words.read_as(kept.matching), new_things=words.new_things(seen.counts),
        problems=problems, shown=shown(kept),
        lines={number: grid.lines[number - 1] for number, _ in problems},
    )  # fmt: skip


def _columns(kept: State, grid: Grid) -> list[tuple[int, Column, list[str]]]:
    """Place, what it is taken for, and what stands in it first; those with nothing left out."""
    first = grid.lines[kept.matching.first :][:EXAMPLES]
    return [
        (n, column, list(dict.fromkeys(line[n] for line in first if n < len(line) and line[n])))
        for n, column in enumerate(kept.matching.columns)
        if column.heading or any(n < len(line) and line[n] for line in grid.lines)
    ]
