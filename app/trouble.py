"""What is wrong with the journal or its disk, in words: what happened, and the way out.

SQLite, SQLAlchemy, psycopg and the operating system say it by numbers; pages and the command line
take their sentences from here.
"""

import errno
import sqlite3
from pathlib import Path
from typing import NamedTuple

from sqlalchemy.exc import DBAPIError

from app.file.refused import BUSY_S, JournalBusy, JournalDamaged, JournalMoved, JournalRefused
from app.file.trouble import WAYS_OUT, is_full

RETRY_S = 10


class Trouble(NamedTuple):
    """`kind` is a key of TROUBLES; `status` is that of a page."""

    kind: str
    what: str
    way_out: str
    status: int

    @property
    def is_damage(self) -> bool:
        return self.kind in {"damaged", "no journal", "incomplete"}

    def __str__(self) -> str:
        return f"{self.what} {self.way_out}"


_RESTORE = "Put a backup in its place: close Oddcup and run “oddcup restore”."
TROUBLES = {
    trouble.kind: trouble
    for trouble in (
        Trouble(
            "busy",
            f"The journal is busy: something else has held it for {BUSY_S:.0f} seconds.",
            "Wait a moment and try again. If it lasts, close whatever else has the journal open.",
            503,
        ),
        Trouble(
            "full",
            "The disk that holds the journal is full.",
            "Make room on it, then try again; pages can still be read.",
            507,
        ),
        Trouble(
            "read-only",
            "The journal cannot be written: its file, its folder or its disk is read-only.",
            "Allow this account to write the file and the folder it is in, then try again.",
            503,
        ),
        Trouble(
            "disk",
            "The disk that holds the journal failed to read or write.",
            "Copy the journal to another disk (“oddcup backup”), and check this one.",
            500,
        ),
        Trouble("damaged", "The journal’s file is damaged.", _RESTORE, 500),
        Trouble(
            "no journal",
            "The journal’s file is not a journal: its beginning was overwritten, or it is "
            "another file.",
            _RESTORE,
            500,
        ),
        Trouble("incomplete", "A part of the journal is missing.", _RESTORE, 500),
        Trouble(
            "not opened",
            "The journal’s file cannot be opened.",
            "See that it is where it was, that it is a file, and that this account may read and "
            "write it and the folder it is in.",
            503,
        ),
        Trouble(
            "moved",
            "The journal’s file was moved, deleted or replaced while it was open.",
            "Put it back where it was, or close Oddcup and start it on the file that is there now.",
            503,
        ),
        Trouble(
            "only read",
            "The journal is damaged, so nothing is saved into it.",
            "What can be read, and how to restore it, is on the page about the journal’s file.",
            503,
        ),
        Trouble(
            "no answer",
            "The database server does not answer.",
            "Start it, or wait until it is back, then try again.",
            503,
        ),
        Trouble(
            "used up",
            "This machine has no memory, or no open files, left for Oddcup.",
            "Close other programs, then try again.",
            503,
        ),
        Trouble("refused", "The journal takes no changes now.", "Try again.", 503),
    )
}

_SQLITE = {
    sqlite3.SQLITE_BUSY: "busy",
    sqlite3.SQLITE_LOCKED: "busy",
    sqlite3.SQLITE_PROTOCOL: "busy",
    sqlite3.SQLITE_FULL: "full",
    sqlite3.SQLITE_READONLY: "read-only",
    sqlite3.SQLITE_PERM: "read-only",
    sqlite3.SQLITE_IOERR: "disk",
    sqlite3.SQLITE_CORRUPT: "damaged",
    sqlite3.SQLITE_FORMAT: "damaged",
    sqlite3.SQLITE_NOTADB: "no journal",
    sqlite3.SQLITE_CANTOPEN: "not opened",
    sqlite3.SQLITE_NOMEM: "used up",
}
_SQLITE_EXTENDED = {
    sqlite3.SQLITE_READONLY_DBMOVED: "moved",
    sqlite3.SQLITE_IOERR_SHMSIZE: "full",
    sqlite3.SQLITE_IOERR_NOMEM: "used up",
}
# By the first two places of the SQLSTATE where the whole is not named.
_POSTGRES = {
    "55P03": "busy",  # lock_timeout
    "57014": "busy",  # statement_timeout
    "40001": "busy",
    "40P01": "busy",
    "53100": "full",
    "25006": "read-only",
    "42P01": "incomplete",
    "42703": "incomplete",
    "58": "disk",
    "XX": "damaged",
    "08": "no answer",
    "57": "no answer",
    "53": "used up",
}
_OS = {
    errno.ENOSPC: "full",
    errno.EDQUOT: "full",
    errno.EFBIG: "full",
    errno.EROFS: "read-only",
    errno.EACCES: "not opened",
    errno.EPERM: "not opened",
    errno.ENOENT: "not opened",
    errno.EISDIR: "not opened",
    errno.EIO: "disk",
    errno.ENOMEM: "used up",
    errno.EMFILE: "used up",
    errno.ENFILE: "used up",
}


def trouble_of(error: BaseException, journal: Path | None = None) -> Trouble | None:
    """The trouble behind an error; None for one that tells of no trouble with journal or disk.

    Where SQLite only says that something failed, the disk that holds `journal` is looked at.
    """
    kind = _kind(error)
    if kind in {"disk", "not opened"} and journal is not None and is_full(journal):
        kind = "full"
    if kind is None:
        return None
    if isinstance(error, JournalMoved) and str(error):
        return TROUBLES[kind]._replace(what=str(error), way_out="")
    return TROUBLES[kind]


def in_words(error: Exception) -> str:
    """What a command or a page says of an error that kept it from its file."""
    if isinstance(error, OSError) and error.filename:
        way_out = WAYS_OUT.get(error.errno or 0, "")
        return f"{error.filename} could not be used ({error.strerror}). {way_out}".strip()
    return str(trouble_of(error) or error)


def _kind(error: BaseException) -> str | None:
    match error:
        case JournalBusy():
            return "busy"
        case JournalDamaged():
            return "only read"
        case JournalMoved():
            return "moved"
        case JournalRefused():
            return "refused"
        case DBAPIError():
            lost = "no answer" if error.connection_invalidated else None
            return (_kind(error.orig) if error.orig else None) or lost
        case sqlite3.Error():
            return _kind_by_sqlite(error)
        case OSError():
            return _OS.get(error.errno or 0)
    return _kind_by_postgres(error)


def _kind_by_sqlite(error: sqlite3.Error) -> str | None:
    code = getattr(error, "sqlite_errorcode", None)
    if code is None:  # of Python's own: a text that is none
        return "damaged" if str(error).startswith("Could not decode") else None
    if code == sqlite3.SQLITE_ERROR:
        return "incomplete" if str(error).startswith(("no such table", "no such column")) else None
    return _SQLITE_EXTENDED.get(code) or _SQLITE.get(code & 0xFF)


def _kind_by_postgres(error: BaseException) -> str | None:
    """By the SQLSTATE; psycopg has none where it could not connect."""
    if not hasattr(error, "sqlstate"):
        return None
    state = error.sqlstate or ("08" if type(error).__name__ == "OperationalError" else "")
    return _POSTGRES.get(state) or _POSTGRES.get(state[:2])
