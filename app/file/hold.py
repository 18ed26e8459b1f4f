"""Holding a journal: nobody else opens it meanwhile, and one file is left at the end."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import NamedTuple

from app.file.lock import Holder, InUse, Lock
from app.file.opened import beside, connect, mark_of, now
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
        yield Held(lock, _set_stray_log_aside(journal, lock.before))
    finally:
        leave_one_file(journal, lock)


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
    """Write the log into the journal and let go. Whoever still has it open removes the log."""
    if not _is_stray(journal, lock.holder):
        with suppress(sqlite3.Error), closing(connect(journal)) as connection:
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    lock.release(keep=_has_log(journal))


def _set_stray_log_aside(journal: Path, before: Holder | None) -> Path | None:
    """Without this SQLite would write it over the journal that somebody has put here since."""
    if not _is_stray(journal, before):
        return None
    aside = journal.parent / "backups" / f"left-over-{now()}.db-wal"
    aside.parent.mkdir(parents=True, exist_ok=True)
    beside(journal, "-wal").rename(aside)
    beside(journal, "-shm").unlink(missing_ok=True)
    return aside


def _is_stray(journal: Path, holder: Holder | None) -> bool:
    if not _has_log(journal):
        return False
    if not journal.exists() or not journal.stat().st_size:
        return True
    return holder is not None and bool(holder.marks) and mark_of(journal) not in holder.marks


def _has_log(journal: Path) -> bool:
    log = beside(journal, "-wal")
    return log.exists() and log.stat().st_size > 0
