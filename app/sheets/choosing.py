"""What a person chose for a sheet, and wrote anew into its cells."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from werkzeug.datastructures import MultiDict

from app.sheets.forms import AskedForm
from app.sheets.keeping import State
from app.spreadsheet.fields import KNOWN, LEFT_OUT, TO_NOTE
from app.spreadsheet.grids import MOST_CELL, Grid
from app.spreadsheet.headings import Column
from app.spreadsheet.matching import Matching, read_on

CELL = re.compile(r"cell-(\d{1,6})-(\d{1,4})", re.ASCII)
LEAVE = re.compile(r"leave-(\d{1,6})", re.ASCII)


def chosen(kept: State, sent: MultiDict[str, str], grid: Grid) -> State:
    """The state with what the form says; what it does not say stays, what is wrong in it, too."""
    matching = _asked(_columns(kept.matching, sent), sent)
    if matching.columns != kept.matching.columns:
        again = read_on(matching, grid.lines[matching.first :])
        same = kept.matching
        matching = replace(
            matching,
            order=matching.order if matching.order != same.order else again.order or same.order,
            scale=matching.scale if matching.scale != same.scale else again.scale,
        )
    left = set(kept.left_out)
    if "all_problems" in sent:
        left |= {int(match[1]) for name in sent if (match := CELL.fullmatch(name))}
        left |= {
            int(n) for n in sent.get("all_lines", "").split(",") if n.isdecimal() and len(n) < 7
        }
    left |= {int(match[1]) for name in sent if (match := LEAVE.fullmatch(name))}
    if "take_up" in sent:
        left = set()
    return replace(
        kept, matching=matching, mended=_mended(kept.mended, sent), left_out=sorted(left),
        bring_twins="bring_twins" in sent if "twins_asked" in sent else kept.bring_twins,
    )  # fmt: skip


def _columns(matching: Matching, sent: Mapping[str, str]) -> Matching:
    """A field goes to one column: to the one that was newly given it."""
    old = list(matching.columns)
    new = [_column(column, n, sent) for n, column in enumerate(old)]
    changed = {column.field for n, column in enumerate(new) if column.field != old[n].field}
    columns = [
        replace(column, field=TO_NOTE, unit="")
        if column.field in changed & KNOWN.keys() and column.field == old[n].field
        else column
        for n, column in enumerate(new)
    ]
    taken: set[str] = set()
    for n, column in enumerate(columns):
        if column.field in taken:
            columns[n] = replace(column, field=TO_NOTE, unit="")
        elif column.field in KNOWN:
            taken.add(column.field)
    return replace(matching, columns=tuple(columns))


def _column(column: Column, n: int, sent: Mapping[str, str]) -> Column:
    name = sent.get(f"column-{n}", column.field)
    if name not in KNOWN and name not in (TO_NOTE, LEFT_OUT):
        name = column.field
    unit = sent.get(f"unit-{n}", column.unit)
    units = KNOWN[name].units if name in KNOWN else ()
    return Column(column.heading, name, unit if unit in units else "")


def _asked(matching: Matching, sent: MultiDict[str, str]) -> Matching:
    form = AskedForm(sent, data=matching.plain())
    form.validate()
    said = {field.name for field in form if field.name in sent and not field.errors}
    return Matching.from_plain(matching.plain() | {name: form[name].data or "" for name in said})


def _mended(
    before: Mapping[int, Mapping[int, str]], sent: Mapping[str, str]
) -> dict[int, dict[int, str]]:
    mended = {number: dict(of) for number, of in before.items()}
    for name, text in sent.items():
        if match := CELL.fullmatch(name):
            mended.setdefault(int(match[1]), {})[int(match[2])] = text[:MOST_CELL].replace("\0", "")
    return mended
