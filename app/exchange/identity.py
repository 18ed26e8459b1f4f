"""By what a row of a package is known again in a journal.

- By the key of the form it was entered in (`entry_key`), which is its name in every copy.
- By its own columns, where these say which row it is: a primary key made of other rows, or a
  combination that is unique (the number of a revision in its recipe).
- By its number, in the same journal and its copies; in another one by what it became here when it
  came in before, or by its name.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from sqlalchemy import Table, UniqueConstraint

ENTRY_KEY = "entry_key"
# Things that a household calls by name: of another journal the same name means the same thing.
NAMES = {
    "bean": ("name", "roaster"),
    "brewer": ("name", "kind"),
    "grinder": ("name",),
    "taster": ("name",),
    "water": ("name",),
}
# What belongs to one row of another table, and comes in with it or not at all: what an owner that
# is here already holds stays as it is here.
PARTS = {
    "blind_packet": "test_id", "blind_taster": "test_id", "blind_test_mark": "test_id",
    "blind_test_use": "test_id", "left_trial": "test_id", "trial": "test_id",
    "trial_brew": "trial_id",
    "filter_use": "brew_id", "step": "revision_id",
    "sitting_question": "sitting_id", "sitting_cup": "sitting_question_id",
    "sitting_filter": "cup_id", "sitting_line": "sitting_id", "sitting_brew": "line_id",
    "sitting_tick": "sitting_id",
    "experiment_factor": "experiment_id", "experiment_run": "experiment_id",
}  # fmt: skip
# A revision that differs is another one, and gets the next number.
COUNTED_ON = {"recipe_revision": ("recipe_id", "number")}
# What was drawn and answered stays as it is here.
SEALED = {"blind_test"}


class RowKey(NamedTuple):
    """The columns by which a row is known; `by_number` if that is only its number."""

    columns: tuple[str, ...]
    by_number: bool = False


@cache
def known_by(table: Table) -> RowKey:
    primary = tuple(column.name for column in table.primary_key.columns)
    if ENTRY_KEY in table.columns:
        return RowKey((ENTRY_KEY,))
    if primary != ("id",) or table.c.id.foreign_keys or table.name == "settings":
        return RowKey(primary)
    unique = sorted(
        tuple(column.name for column in one.columns)
        for one in table.constraints
        if isinstance(one, UniqueConstraint)
        and "id" not in one.columns
        and not any(column.nullable for column in one.columns)
    )
    return RowKey(unique[0]) if unique else RowKey(("id",), by_number=True)


@cache
def references(table: Table) -> dict[str, str]:
    """The table whose row each column refers to by its number."""
    return {
        key.parent.name: key.column.table.name
        for key in sorted(table.foreign_keys, key=lambda key: (key.parent.name, key.column.name))
        if key.column.name == "id"
    }
