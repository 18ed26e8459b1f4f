"""Before a journal is begun: was there one here? Then it is asked for, not begun anew."""

import shlex
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import closing, suppress
from datetime import UTC, datetime
from pathlib import Path

from app.config import Config, default_home
from app.file.lock import Holder
from app.file.opened import beside


def refuse_to_begin_anew(config: Config, before: Holder | None) -> None:
    """Raises RuntimeError if the journal is missing or empty and traces of it are here.

    `before` is who had the lock last, if their process was killed.
    """
    path = config.sqlite_path
    if path is None or not _is_missing(path):
        return
    backup = _newest_backup(config.home)
    traces = [*_traces(path, config.home), *([beside(path, ".lock")] if _served(before) else [])]
    if backup is None and not traces:
        return
    is_there = path.exists()
    raise RuntimeError(
        f"{path} {'is empty (0 bytes)' if is_there else 'is missing'}, but there was a journal "
        f"here: {_told(backup) if backup else f'see {traces[0]}'}. Nothing was changed.\n"
        f"To bring it back: {_command(path, 'restore', str(backup or 'BACKUP'))}\n"
        f"To begin a new, empty journal: {_command(path, 'serve', '--new')}"
    )


def refuse_to_replace(config: Config) -> None:
    """Raises RuntimeError if a new journal was asked for where there is one."""
    path = config.sqlite_path
    if path is None or not _is_missing(path):
        place = path or "The database"
        raise RuntimeError(f"{place} is there already: leave out --new, or name another file.")


def _is_missing(path: Path) -> bool:
    try:
        return path.stat().st_size == 0
    except FileNotFoundError:
        return True


def _served(before: Holder | None) -> bool:
    """Whether it came so far as to serve a journal: only then was there one."""
    return before is not None and bool(before.marks)


def _traces(path: Path, home: Path) -> Iterator[Path]:
    yield from (trace for trace in (beside(path, "-wal"), home / "secret.key") if trace.exists())
    yield from sorted(home.glob("before-*"))


def _newest_backup(home: Path) -> Path | None:
    with suppress(OSError):
        backups = [path for path in (home / "backups").rglob("*.db") if path.is_file()]
        return max(backups, key=lambda path: path.stat().st_mtime, default=None)
    return None


def _told(backup: Path) -> str:
    hours = (datetime.now(UTC).timestamp() - backup.stat().st_mtime) / 3600
    age = f"{hours / 24:.0f} days" if hours >= 48 else f"{max(hours, 0):.0f} hours"
    brews = _brews(backup)
    holds = "which cannot be read" if brews is None else f"with {brews} brews"
    return f"the newest backup, {age} old and {holds}, is {backup}"


def _brews(backup: Path) -> int | None:
    url = f"{backup.resolve().as_uri()}?immutable=1"
    try:
        with closing(sqlite3.connect(url, uri=True)) as copy:
            return int(copy.execute("SELECT count(*) FROM brew").fetchone()[0])
    except sqlite3.Error:
        return None


def _command(path: Path, *words: str) -> str:
    """As it has to be typed; the journal is named unless it is in its usual place."""
    named = () if path == default_home() / "journal.db" else ("--journal", str(path))
    program = sys.argv[0] if Path(sys.argv[0]).name == "oddcup" else "oddcup"
    return shlex.join([program, *named, *words])
