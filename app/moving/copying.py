"""Every table from one database to another, then both compared, table by table."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, Table, bindparam, update
from sqlalchemy.exc import DataError, DBAPIError

from app.config import Config, make_home
from app.models.reading import PARENTS_FIRST, points_back, read
from app.moving.source import opened, others
from app.moving.sums import Sum
from app.moving.target import empty_target
from app.seals import seals_of

Tell = Callable[[str], None]
TELL_AFTER = 20_000  # rows
SAME = "That is the journal itself: name another file, or another database."
UNCHANGED = "Nothing was changed."
DRIVER = (
    "PostgreSQL needs the package {}, which is not installed here: install oddcup[postgres]. "
    f"{UNCHANGED}"
)
OTHERS = (
    "Open to this database besides: {} connections. What is saved through them from now on stays "
    "behind; close every Oddcup on it first."
)
UNREADABLE = (
    f"{{}} holds a value that cannot be read ({{}}): “oddcup check” looks for damage. {UNCHANGED}"
)
NO_SERVER = (
    "See that the server runs, that the database is there, and that address, user and password "
    "are right. "
)
VALUE = "The journal holds a value that PostgreSQL does not take. "
# By the first two places of the SQLSTATE.
WAYS_OUT = {
    "42": "The user needs the right to make tables there: best, let it own the database. ",
    "22": VALUE,
    "55": "Something else has the database open and locked: close it, then try again. ",
    "57": "The server was stopped or stopped the copying: start it, then try again. ",
    "08": NO_SERVER,
}


def move(source: Config, target: Config, tell: Tell) -> None:
    """All rows, keys included, into an empty target, and what is remembered of blind tests.

    The source is read in one transaction and stays as it is. Raises RuntimeError, ValueError,
    OSError and SQLAlchemyError; the target is then as it was.
    """
    if source.url == target.url:
        raise ValueError(SAME)
    with _in_words(), opened(source) as rows_from:
        if count := others(rows_from):
            tell(OTHERS.format(count))
        with empty_target(target) as rows_to:
            sums = {table.name: _copy(rows_from, rows_to, table, tell) for table in PARENTS_FIRST}
            for table in PARENTS_FIRST:
                _point_back(rows_from, rows_to, table)
            for table in PARENTS_FIRST:
                _compare(rows_to, table, sums[table.name], tell)
            make_home(target.home)
            seals_of(target).take_over(seals_of(source))


def _copy(rows_from: Connection, rows_to: Connection, table: Table, tell: Tell) -> Sum:
    copied = Sum(table)
    later = dict.fromkeys(points_back(table))
    try:
        for chunk in read(rows_from, table):
            copied.add(chunk)
            rows_to.execute(table.insert(), [{**row, **later} for row in chunk])
            if copied.rows % TELL_AFTER == 0:
                tell(f"{table.name:22} {copied.rows:9,} rows ...")
    except DBAPIError as error:
        error.add_detail(table.name)
        raise
    except (TypeError, ValueError) as damage:
        raise RuntimeError(UNREADABLE.format(table.name, damage)) from None
    return copied


def _point_back(rows_from: Connection, rows_to: Connection, table: Table) -> None:
    """What names a row of the same table, or of a later one, now that all rows are there."""
    names = points_back(table)
    if not names:
        return
    keys = list(table.primary_key)
    pointing = update(table).where(*(key == bindparam(f"key_{key.name}") for key in keys))
    for chunk in read(rows_from, table):
        rows = [
            {f"key_{key.name}": row[key.name] for key in keys} | {name: row[name] for name in names}
            for row in chunk
            if any(row[name] is not None for name in names)
        ]
        if rows:
            rows_to.execute(pointing, rows)


def _compare(rows_to: Connection, table: Table, copied: Sum, tell: Tell) -> None:
    there = Sum(table)
    for chunk in read(rows_to, table):
        there.add(chunk)
    if there != copied:
        raise RuntimeError(
            f"{table.name} has {copied.rows} rows with checksum {copied.short}, its copy "
            f"{there.rows} with {there.short}. Nothing was kept of the copy."
        )
    tell(f"{table.name:22} {there.rows:9,} rows, checksum {there.short} on both sides")


@contextmanager
def _in_words() -> Iterator[None]:
    """What PostgreSQL or the lack of its driver keeps from being done, and the way out."""
    try:
        yield
    except ModuleNotFoundError as missing:
        raise RuntimeError(DRIVER.format(missing.name)) from None
    except DBAPIError as error:
        if isinstance(error.orig, sqlite3.Error):
            raise
        said = str(error.orig).strip().splitlines()[0].rpartition("FATAL: ")[2].strip()
        at = f" (table {error.detail[0]})" if error.detail else ""
        usual = VALUE if isinstance(error, DataError) else NO_SERVER  # psycopg's own have no state
        state = getattr(error.orig, "sqlstate", None)
        way_out = WAYS_OUT.get(state[:2], "") if state else usual
        raise RuntimeError(f"PostgreSQL said{at}: {said}. {way_out}{UNCHANGED}") from None
