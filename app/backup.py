"""Backing up a journal into one file, even while it is written to, and restoring it."""

import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from app.config import Config
from app.file.hold import holding
from app.file.opened import new_mark


def back_up(config: Config, label: str = "backup", to: Path | None = None) -> Path | None:
    """Copy a SQLite journal by SQLite's online backup; returns the new file.

    `to` is a new file, or a folder for one. Returns None for a PostgreSQL journal, which the
    server's own tools back up. Raises FileNotFoundError if there is no journal yet,
    FileExistsError if `to` is a file already, ValueError if the journal cannot be read.
    """
    source = config.sqlite_path
    if source is None:
        return None
    if not source.exists():
        raise FileNotFoundError(f"There is no journal at {source}.")
    if to is None or to.is_dir():
        to = _new_name(to or config.home / "backups", label)
    if to.exists():
        raise FileExistsError(f"{to} exists already; it was left as it is.")
    to.parent.mkdir(parents=True, exist_ok=True)
    try:
        _copy(source, to)
    except sqlite3.DatabaseError as error:
        raise ValueError(f"{source} could not be read ({error}).") from None
    return to


def restore(config: Config, backup: Path) -> Path | None:
    """Replace the journal by an undamaged backup; returns the path where the old one is kept.

    Raises ValueError for a file that is damaged or is no journal, FileNotFoundError, and
    RuntimeError for a journal that is open in another program or is on PostgreSQL.
    """
    target = config.sqlite_path
    if target is None:
        raise RuntimeError("A journal on PostgreSQL is restored with pg_restore.")
    if not backup.exists():
        raise FileNotFoundError(f"There is no backup at {backup}.")
    findings = _damage(backup)
    if findings:
        raise ValueError(f"{backup} was not restored: {findings[0]}")
    target.parent.mkdir(parents=True, exist_ok=True)
    with holding(target, "restore"):
        set_aside = _set_aside(target, config.home / "backups") if target.exists() else None
        _copy(backup, target)
    return set_aside


def _set_aside(journal: Path, folder: Path) -> Path:
    """Copy the journal that a backup replaces, byte for byte since it may be damaged."""
    _claim(journal)
    copy = _new_name(folder, "before-restore")
    folder.mkdir(parents=True, exist_ok=True)
    for tail in ("-wal", ""):
        part = journal.with_name(journal.name + tail)
        if part.exists():
            shutil.copyfile(part, copy.with_name(copy.name + tail))
    return copy


def _claim(journal: Path) -> None:
    """Merge the write-ahead log into the journal's file, which fails while a program has it open.

    The lock keeps other Oddcups away; this tells of a program that knows nothing of it.
    """
    try:
        with closing(sqlite3.connect(journal, timeout=1)) as claim:
            claim.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.DatabaseError as error:
        if "locked" in str(error):
            raise RuntimeError("The journal is open: close Oddcup first, then restore.") from None


def find_damage(config: Config) -> list[str]:
    """What is wrong with the journal's file, in sentences; empty for an undamaged one."""
    path = config.sqlite_path
    if path is None:
        raise RuntimeError("This check reads SQLite journals; PostgreSQL checks its own.")
    if not path.exists():
        raise FileNotFoundError(f"There is no journal at {path}.")
    return _damage(path)


def _damage(path: Path) -> list[str]:
    try:
        # On a connection opened read-only, SQLite's integrity check skips the CHECK constraints.
        url = f"{path.resolve().as_uri()}?mode=rw"
        with closing(sqlite3.connect(url, uri=True)) as journal:
            journal.execute("PRAGMA query_only = ON")
            findings = [
                row[0] for row in journal.execute("PRAGMA integrity_check") if row[0] != "ok"
            ]
            broken = journal.execute("PRAGMA foreign_key_check").fetchall()
            findings += [
                f"Row {row[1]} of {row[0]} points at a missing {row[2]}." for row in broken
            ]
            journal.execute("SELECT count(*) FROM brew")
            if not journal.execute("SELECT version_num FROM alembic_version").fetchone():
                findings.append("It does not say which Oddcup wrote it.")
            return findings
    except sqlite3.DatabaseError as error:
        return [f"It is not a sound journal ({error})."]


def _copy(source: Path, target: Path) -> None:
    """Back up into a temporary file beside `target`, then rename it, in case of a crash."""
    partial = target.with_name(target.name + ".partial")
    partial.unlink(missing_ok=True)
    with closing(sqlite3.connect(source)) as journal, closing(sqlite3.connect(partial)) as copy:
        journal.backup(copy)
        copy.execute(f"PRAGMA user_version = {new_mark()}")
        copy.execute("PRAGMA journal_mode = DELETE")
    for tail in ("-wal", "-shm"):
        target.with_name(target.name + tail).unlink(missing_ok=True)
    partial.replace(target)


def _new_name(folder: Path, label: str) -> Path:
    stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S-%f")
    return folder / f"{label}-{stamp}.db"
