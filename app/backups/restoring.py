"""Putting a backup in the journal's place: nothing is replaced before the new file is whole."""

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path

from app.backups.checks import CouldNotLook, Weight, check_file, of_weight, why_not
from app.backups.files import LOG_TAILS, connect, put_in_place, remove, sync
from app.backups.folders import usual_folder
from app.backups.names import BEFORE_RESTORE, PARTIAL, new_name
from app.backups.online import Unsound, copy_online
from app.backups.record import owner_of
from app.config import Config, make_home
from app.file.hold import holding
from app.file.opened import beside, sync_folder
from app.seals import put_back_by

ON_POSTGRESQL = "A journal on PostgreSQL is restored with pg_restore."
JOURNAL_OPEN = "The journal is open: close Oddcup first, then restore."
HOLD_WAIT_S = 1.0


def restore(config: Config, backup: Path) -> Path | None:
    """Replace the journal by an undamaged backup; returns the path where the old one is kept.

    Raises ValueError for a file that is damaged or is no journal, FileNotFoundError, OSError,
    CouldNotLook, and RuntimeError for a journal that is open in another program or is on
    PostgreSQL.
    """
    journal = config.sqlite_path
    if journal is None:
        raise RuntimeError(ON_POSTGRESQL)
    if not backup.exists():
        raise FileNotFoundError(f"There is no backup at {backup}.")
    make_home(journal.parent)
    with holding(journal, "restore"), prepared(journal, backup) as ready:
        return swap(config, journal, ready)


@contextmanager
def prepared(
    journal: Path, backup: Path, bring_up: Callable[[Path], None] | None = None
) -> Iterator[Path]:
    """A checked copy of the backup beside the journal, removed again unless `swap` takes it.

    `bring_up` brings the tables of the copy up to date. The journal is not touched.
    """
    partial = beside(journal, PARTIAL)
    try:
        try:
            copy_online(backup, partial)
            _check(partial)
            if bring_up:
                bring_up(partial)
                _check(partial)
        except Unsound as damage:
            raise ValueError(f"{backup} was not restored: {damage}") from None
        yield partial
    finally:
        remove(partial)


def _check(copy: Path) -> None:
    findings = of_weight(Weight.DAMAGE, check_file(copy))
    if findings:
        raise Unsound(findings[0])


def swap(config: Config, journal: Path, ready: Path) -> Path | None:
    """Set the journal aside, if there is one, and give its name to the file that is ready.

    Until the last step the journal is as it was; that step is one rename.
    """
    put_back = put_back_by(ready, journal)
    with held(journal):
        set_aside = _set_aside(config, journal) if journal.exists() else None
        put_back.note(datetime.now(UTC))
        for tail in LOG_TAILS:  # of a damaged journal, and set aside with it
            beside(journal, tail).unlink(missing_ok=True)
        put_in_place(ready, journal)
        return set_aside


@contextmanager
def held(journal: Path) -> Iterator[None]:
    """Nobody else opens the journal meanwhile; its write-ahead log is merged into it.

    Replacing a file under a running server would lose what the server saves from then on. Raises
    RuntimeError while another program has it open. A damaged journal cannot be held.
    """
    if not journal.exists():
        yield
        return
    with closing(connect(journal, wait_s=HOLD_WAIT_S)) as holder:
        try:
            holder.execute("PRAGMA locking_mode = EXCLUSIVE")
            holder.execute("PRAGMA journal_mode = DELETE")
            holder.execute("BEGIN EXCLUSIVE")
        except sqlite3.DatabaseError as error:
            if error.sqlite_errorcode & 0xFF in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}:
                raise RuntimeError(JOURNAL_OPEN) from None
            if error.sqlite_errorcode & 0xFF not in {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}:
                raise CouldNotLook(why_not(journal, error)) from None
        yield


def _set_aside(config: Config, journal: Path) -> Path:
    """Keep the journal byte for byte, since it may be damaged: under a second name where the
    file system can do that, which takes no room, else as a copy."""
    folder = usual_folder(config)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    copy = folder / new_name(BEFORE_RESTORE, owner_of(journal))
    log = beside(journal, "-wal")
    if log.exists():
        shutil.copyfile(log, beside(copy, "-wal"))
        sync(beside(copy, "-wal"))
    try:
        os.link(journal, copy)
    except OSError:
        shutil.copyfile(journal, copy)
        sync(copy)
    sync_folder(folder)
    return copy
