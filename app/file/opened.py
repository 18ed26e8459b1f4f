"""The file of a SQLite journal from opening to closing: is it still the one that was opened?

Each time a journal is opened to be served, its header gets another number, the *mark*
(`user_version`). The number in the file itself, past SQLite and its log, tells a journal that was
put in the place of the open one, or of one whose process was killed and whose log is still there:
SQLite would write that log over whatever it finds.
"""

import os
import secrets
import shutil
import sqlite3
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from app.file.lock import Lock

HEADER_BYTES, MARK_AT = 100, 60  # https://www.sqlite.org/fileformat2.html
BEGINNING = b"SQLite format 3\x00"


def beside(journal: Path, tail: str) -> Path:
    return journal.with_name(journal.name + tail)


def sync_folder(folder: Path) -> None:
    """Where a folder cannot be opened (Windows), the system keeps its names by itself."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass  # some network and memory card file systems cannot
    finally:
        os.close(handle)


class OpenFile:
    """Which file was opened at a path, and by which mark it is known.

    With a mark it is kept open until `close`: closing it earlier would drop SQLite's locks on it.
    """

    def __init__(self, path: Path, mark: int | None) -> None:
        self.path = path
        self._mark = mark
        self._opened = path.stat()
        self._file = None if mark is None else os.open(path, os.O_RDONLY)

    @property
    def is_moved(self) -> bool:
        """Whether it was deleted, or renamed, or another file stands at its path."""
        try:
            return not os.path.samestat(self.path.stat(), self._opened)
        except (FileNotFoundError, NotADirectoryError):
            return True

    @property
    def is_overwritten(self) -> bool:
        """Whether another journal was copied into it."""
        return self._file is not None and self._mark_now != self._mark

    @property
    def _mark_now(self) -> int | None:
        if sys.platform == "win32" or self._file is None:
            return self._mark
        return mark_in(os.pread(self._file, HEADER_BYTES, 0))

    def cut_log_off(self) -> None:
        """Put the log of an overwritten journal aside: SQLite would write it over what is there.

        Where no journal is there any more, the log stays: it may be what is left of this one.
        """
        log = beside(self.path, "-wal")
        if self._mark_now is not None and log.exists() and log.stat().st_size:
            shutil.copyfile(log, left_over(self.path))
            os.truncate(log, 0)

    def close(self) -> None:
        """Only after SQLite has closed it."""
        if self._file is not None:
            os.close(self._file)
            self._file = None


def mark_in(header: bytes) -> int | None:
    """None for a header that is not a SQLite file's."""
    if len(header) < HEADER_BYTES or not header.startswith(BEGINNING):
        return None
    return int.from_bytes(header[MARK_AT : MARK_AT + 4], "big", signed=True)


def mark_of(journal: Path) -> int | None:
    """The mark in the file itself, whatever its log says. This process may not have it open."""
    return mark_in(_header(journal))


def has_no_log(journal: Path) -> bool:
    """Whether the file is in the mode in which SQLite keeps no log beside it."""
    return _header(journal)[18:20] == b"\x01\x01"


def _header(journal: Path) -> bytes:
    try:
        with journal.open("rb") as file:
            return file.read(HEADER_BYTES)
    except OSError:
        return b""


def new_mark() -> int:
    return secrets.randbelow(2**31 - 1) + 1


def mark_anew(journal: Path, lock: Lock) -> int | None:
    """Give the file that is opened now another mark; None if that could not be done.

    The lock names the old and the new one first: whichever is found after a power cut fits.
    """
    old, mark = mark_of(journal), new_mark()
    lock.tell(marks=(mark,) if old is None else (old, mark))
    try:
        with closing(connect(journal)) as connection:
            connection.execute("PRAGMA synchronous = FULL")
            connection.execute(f"PRAGMA user_version = {mark}")
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    except sqlite3.Error:
        return None
    if mark_of(journal) != mark:
        return None
    lock.tell(marks=(mark,))
    return mark


def copy_into(folder: Path, source: sqlite3.Connection) -> Path | None:
    """Copy what a connection reads into a new file; None if that fails."""
    folder.mkdir(parents=True, exist_ok=True)
    copy = folder / f"kept-{_now()}.db"
    try:
        with closing(sqlite3.connect(copy)) as target:
            source.backup(target)
            target.execute("PRAGMA journal_mode = DELETE")
            target.execute(f"PRAGMA user_version = {new_mark()}")
    except sqlite3.Error:
        copy.unlink(missing_ok=True)
        return None
    return copy


def left_over(journal: Path) -> Path:
    """The place for a log that belongs to no file any more."""
    folder = journal.parent / "backups"
    folder.mkdir(parents=True, exist_ok=True)
    return folder / f"left-over-{_now()}.db-wal"


def _now() -> str:
    return datetime.now(UTC).strftime("%Y%m%d-%H%M%S-%f")


def connect(journal: Path) -> sqlite3.Connection:
    """Never makes a file that is not there."""
    return sqlite3.connect(f"{journal.resolve().as_uri()}?mode=rw", uri=True, timeout=1)
