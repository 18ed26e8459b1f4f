"""Checks of the file, its tables, and the numbers that are counted from their rows."""

import sqlite3
from collections.abc import Iterator

from app.models import Base
from app.revisions import NEWER, NO_REVISION, head, revisions

# Comparing every index with its table takes 15 s for each GB; above this only the pages and the
# rows are read, which takes 2 s.
MOST_COMPARED_BYTES = 1024**3


def structure(journal: sqlite3.Connection) -> Iterator[str]:
    (pages,) = journal.execute("PRAGMA page_count").fetchone()
    (page_bytes,) = journal.execute("PRAGMA page_size").fetchone()
    whole = pages * page_bytes <= MOST_COMPARED_BYTES
    for (text,) in journal.execute(f"PRAGMA {'integrity' if whole else 'quick'}_check"):
        if text != "ok":
            yield text


def foreign_keys(journal: sqlite3.Connection) -> Iterator[str]:
    for table, row, parent, _ in journal.execute("PRAGMA foreign_key_check"):
        yield f"Row {row} of {table} points at a missing {parent}."


def tables(journal: sqlite3.Connection) -> Iterator[str]:
    found = revision(journal)
    if found is None:
        yield NO_REVISION
    elif found not in revisions():
        yield f"{NEWER} (revision {found}, this one knows {head()})."
    elif found == head():
        yield from _differing_tables(journal)


def revision(journal: sqlite3.Connection) -> str | None:
    """The revision a journal is at. Raises sqlite3.OperationalError for another database."""
    journal.execute("SELECT count(*) FROM brew")
    row = journal.execute("SELECT version_num FROM alembic_version").fetchone()
    return str(row[0]) if row else None


def _differing_tables(journal: sqlite3.Connection) -> Iterator[str]:
    query = "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%' "
    there = {name for (name,) in journal.execute(query + "ESCAPE '\\'")} - {"alembic_version"}
    for name in sorted(there - set(Base.metadata.tables)):
        yield f"The table {name} is not one of Oddcup's."
    for name, table in sorted(Base.metadata.tables.items()):
        if name not in there:
            yield f"The table {name} is missing."
            continue
        columns = _names(journal, "SELECT name FROM pragma_table_info(?)", name)
        for column in sorted(set(table.columns.keys()) ^ columns):
            yield f"The column {column} of {name} is {'extra' if column in columns else 'missing'}."
        indexes = _names(journal, "SELECT name FROM pragma_index_list(?)", name)
        for index in sorted({str(index.name) for index in table.indexes} - indexes):
            yield f"The index {index} of {name} is missing."


def _names(journal: sqlite3.Connection, query: str, table: str) -> set[str]:
    return {name for (name,) in journal.execute(query, (table,))}


def use_numbers(journal: sqlite3.Connection) -> Iterator[str]:
    """Uses counted by the times of the brews, set against the order that pages count by."""
    query = """
        WITH uses AS (
            SELECT u.filter_id, u.brew_id, b.binned_at,
                row_number() OVER (PARTITION BY u.filter_id, b.binned_at IS NULL
                    ORDER BY b.brewed_at, b.id) AS by_brew,
                row_number() OVER (PARTITION BY u.filter_id, b.binned_at IS NULL
                    ORDER BY u.brewed_at, u.brew_id) AS by_use
            FROM filter_use u LEFT JOIN brew b ON b.id = u.brew_id
        )
        SELECT filter_id, brew_id FROM uses
        WHERE by_brew <> by_use AND binned_at IS NULL ORDER BY filter_id, brew_id
    """
    for filter_id, brew_id in journal.execute(query):
        yield f"Filter {filter_id} has another use number in brew {brew_id} than its time gives."


def versions(journal: sqlite3.Connection) -> Iterator[str]:
    """The number of its latest change is a thing's version."""
    gaps = """
        SELECT thing, row_id, count(*), max(number) FROM change
        GROUP BY thing, row_id HAVING count(*) <> max(number)
    """
    for thing, row_id, count, latest in journal.execute(gaps):
        yield f"Of {thing} {row_id} there are {count} changes, but the last has number {latest}."
    unreadable = """
        SELECT id, thing, row_id FROM change
        WHERE NOT (json_valid("before") AND json_valid("after"))
    """
    for change_id, thing, row_id in journal.execute(unreadable):
        yield f"Change {change_id} of {thing} {row_id} cannot be read."
