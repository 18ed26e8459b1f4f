"""SQLite's online backup: a copy of one state of a file, while others write to it."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from app.backups.checks import NOT_SOUND, CouldNotLook, is_damage, why_not
from app.backups.files import connect, reading_file, remove
from app.file.opened import new_mark

PAGES_A_STEP = 1024
NO_ROOM = "The disk of {} is full, or refuses to be written. Nothing was changed."
WRITE_ERRORS = {
    sqlite3.SQLITE_IOERR_WRITE,
    sqlite3.SQLITE_IOERR_FSYNC,
    sqlite3.SQLITE_IOERR_TRUNCATE,
}

Counts = dict[str, int]


class Stopped(Exception):
    """The program is closing, so that the copy was given up."""


class Unsound(ValueError):
    """The file is damaged, or is no journal. Its text says how."""


def copy_online(source: Path, partial: Path, stopped: Callable[[], bool] = lambda: False) -> Counts:
    """Copy into a new file that only its owner may read; returns the rows of each table, counted
    in the same state. The copy is not on the disk for good yet.

    Raises Unsound, CouldNotLook, Stopped, and OSError where there is no room.
    """

    def go_on(_status: int, _remaining: int, _total: int) -> None:
        if stopped():
            raise Stopped

    remove(partial)
    with partial.open("xb"):
        partial.chmod(0o600)
    try:
        with reading_file(source) as journal, closing(connect(partial)) as copy:
            # Nothing is kept for undoing: a copy that was cut off is thrown away.
            copy.execute("PRAGMA synchronous = OFF")
            copy.execute("PRAGMA journal_mode = OFF")
            journal.execute("BEGIN")
            counts = count_rows(journal)
            journal.backup(copy, pages=PAGES_A_STEP, progress=go_on)
            # Else the log that a killed process left would be taken for this file's own.
            copy.execute(f"PRAGMA user_version = {new_mark()}")
            copy.execute("PRAGMA journal_mode = DELETE")
            return counts
    except sqlite3.DatabaseError as error:
        code = getattr(error, "sqlite_errorcode", 0)
        if code & 0xFF == sqlite3.SQLITE_FULL or code in WRITE_ERRORS:
            raise OSError(NO_ROOM.format(partial.parent)) from None
        if is_damage(error):
            raise Unsound(NOT_SOUND.format(error)) from None
        raise CouldNotLook(why_not(source, error)) from None


def count_rows(journal: sqlite3.Connection) -> Counts:
    tables = journal.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
    return {
        name: journal.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0]  # noqa: S608
        for (name,) in tables
    }
