"""Holding a journal: nobody else opens it meanwhile, and one file is left at the end."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import NamedTuple

from app.file.lock import Holder, InUse, Lock
from app.file.log import log_findings
from app.file.opened import beside, connect, has_no_log, left_over, mark_of
from app.file.trouble import not_opened

# The lock is also taken for a moment to look, by `oddcup check`.
PATIENCE_S = 0.5


class Held(NamedTuple):
    """`stray_log`: where the log was put that a killed process left for another file."""

    lock: Lock
    stray_log: Path | None


@contextmanager
def holding(journal: Path, doing: str) -> Iterator[Held]:
    """Keep a journal to this process, after clearing up what a killed one left beside it.

    Raises InUse if another process holds it, RuntimeError where nothing can be written beside it.
    """
    try:
        lock = Lock(journal, doing, PATIENCE_S)
    except OSError as error:
        raise not_opened(journal, error) from None
    try:
        yield Held(lock, put_log_aside(journal) if _is_stray(journal, lock.before) else None)
    finally:
        leave_one_file(journal, lock)


@contextmanager
def holding_or_not(journal: Path | None, doing: str) -> Iterator[Held | None]:
    """The same; a journal on a server is held by nobody."""
    if journal is None:
        yield None
        return
    with holding(journal, doing) as held:
        yield held


@contextmanager
def looking_at(journal: Path | None) -> Iterator[None]:
    """Look at a journal that may be open, or may have been left by a killed process.

    Raises RuntimeError rather than let SQLite write another file's log over it.
    """
    if journal is None or not beside(journal, ".lock").exists():
        yield
        return
    _refuse_stray_log(journal)
    try:
        yield
    finally:
        with suppress(InUse, OSError):
            leave_one_file(journal, Lock(journal, "check"))


def _refuse_stray_log(journal: Path) -> None:
    try:
        lock = Lock(journal, "check")
    except (InUse, OSError):
        return
    stray = _is_stray(journal, lock.before)
    lock.release(keep=True)
    if stray:
        raise RuntimeError(
            f"{beside(journal, '-wal')} does not belong to the journal beside it: Oddcup was "
            "killed, and another journal was put here since. Start Oddcup on it once: that sets "
            "the log aside."
        )


def leave_one_file(journal: Path, lock: Lock) -> None:
    """Write the log into the journal and let go. Whoever still has it open removes the log.

    Of a journal that is missing everything stays that tells that there was one; a log that is
    damaged, or beside a damaged journal, stays for whoever mends it.
    """
    is_there = _is_there(journal)
    as_it_is = lock.only_reads or _is_stray(journal, lock.holder) or bool(log_findings(journal))
    if is_there and not as_it_is:
        with suppress(sqlite3.Error), closing(connect(journal)) as connection:
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        _remove_spent(journal)
    lock.release(keep=_has_log(journal) or bool(lock.holder.marks and not is_there))


def _remove_spent(journal: Path) -> None:
    """What a killed process left and SQLite, which would need it in another mode, does not remove.

    A rollback journal whose first byte is 0 counts for nothing (sqlite.org/lockingv3.html).
    """
    undo = beside(journal, "-journal")
    if not has_no_log(journal):
        if undo.exists() and undo.read_bytes()[:1] in (b"", b"\x00"):
            undo.unlink()
    elif not _has_log(journal):
        for tail in ("-wal", "-shm"):
            beside(journal, tail).unlink(missing_ok=True)


def put_log_aside(journal: Path) -> Path | None:
    """Keep a log from being written over a journal that it does not belong to."""
    if not _has_log(journal):
        return None
    aside = beside(journal, "-wal").rename(left_over(journal))
    beside(journal, "-shm").unlink(missing_ok=True)
    return aside


def _is_stray(journal: Path, holder: Holder | None) -> bool:
    """Whether the log was left by a killed process for another file than the one now here."""
    if holder is None or not holder.marks or not _has_log(journal) or not _is_there(journal):
        return False
    mark = mark_of(journal)  # none where the file is damaged: that does not make its log stray
    return mark is not None and mark not in holder.marks


def _is_there(journal: Path) -> bool:
    return journal.exists() and journal.stat().st_size > 0


def _has_log(journal: Path) -> bool:
    log = beside(journal, "-wal")
    return log.exists() and log.stat().st_size > 0
