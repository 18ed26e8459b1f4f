"""Opening SQLite files without changing them, and getting files onto the disk for good."""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from app.file.lock import InUse, Lock
from app.file.opened import beside, sync_folder

WAIT_S = 5.0
LOG_TAILS = ("-wal", "-shm", "-journal")


def connect(path: Path, mode: str = "rw", wait_s: float = WAIT_S) -> sqlite3.Connection:
    """A connection that never creates the file. Raises sqlite3.Error."""
    address = f"{path.resolve().as_uri()}?mode={mode}"
    return sqlite3.connect(
        address, uri=True, timeout=wait_s, isolation_level=None, check_same_thread=False
    )


def reading_file(path: Path) -> closing[sqlite3.Connection]:
    """A connection that changes no row.

    Opened read-only, SQLite's integrity check would leave out the CHECK constraints.
    """
    connection = connect(path)
    connection.execute("PRAGMA query_only = ON")
    return closing(connection)


def remove(path: Path) -> None:
    """Remove a SQLite file, and what a stopped program may have left beside it."""
    for tail in ("", *LOG_TAILS):
        beside(path, tail).unlink(missing_ok=True)


def put_in_place(partial: Path, target: Path) -> None:
    """Give a finished file its name; on disk when this returns."""
    sync(partial)
    partial.replace(target)
    sync_folder(target.parent)


def sync(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())


@contextmanager
def only_one(journal: Path, wait_s: float = 0.0) -> Iterator[bool]:
    """Whether nobody else makes a backup of this journal now, in this process or another."""
    folder = journal.parent / "backups"
    folder.mkdir(mode=0o700, exist_ok=True)
    try:
        lock = Lock(folder / journal.name, "backup", wait_s)
    except InUse:
        yield False
        return
    try:
        yield True
    finally:
        lock.release()
