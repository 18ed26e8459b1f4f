"""Whether the journal's file is sound; if not, what can still be read, and which backup is."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import NamedTuple

from app.config import Config
from app.database.engines import READ_ON
from app.file.log import DAMAGED, log_findings
from app.file.opened import beside
from app.models import Base
from app.revisions import NEWER, NO_REVISION, head, revisions

MOST_FINDINGS = 20
MOST_BACKUPS = 10
ANOTHER_DATABASE = "It holds something else than a journal."
UNREADABLE = "SQLite cannot read it: {}."
# A file that is locked, or that this account may not read, is not damaged.
DAMAGE = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR}
FOREIGN_LOG = "The log beside the journal belongs to another file."


class Part(NamedTuple):
    """A table: how many of its rows can be read, and whether that is all of them."""

    name: str
    rows: int
    whole: bool


class Health(NamedTuple):
    """What is wrong with a journal.

    `without_log`: it is sound if its log is left out; `reads_log`: more can be read with it.
    """

    findings: list[str]
    parts: list[Part]
    backup: Path | None
    without_log: bool
    reads_log: bool

    @property
    def brews(self) -> int:
        return sum(part.rows for part in self.parts if part.name == "brew")

    @property
    def sentence(self) -> str:
        return f"The journal is damaged and is opened for reading only: {self.findings[0]}"

    @property
    def every_row(self) -> bool:
        """Not so where the log is damaged, since nobody knows what was in it."""
        if {DAMAGED, FOREIGN_LOG} & set(self.findings):
            return False
        return bool(self.parts) and all(part.whole for part in self.parts)

    @property
    def can_be_shown(self) -> bool:
        """Whether there is anything to read or to put in its place, and this Oddcup can."""
        is_newer = any(finding.startswith(NEWER) for finding in self.findings)
        return not is_newer and bool(self.brews or self.backup)


def look(config: Config, *, whole: bool = False) -> Health | None:
    """What is wrong with a SQLite journal; None if nothing was found, or nothing is there yet.

    The file is only read: neither it nor its log is changed. `whole` compares each index with its
    table too, which takes some ten times as long (2 s for 100,000 brews, 0.2 s without).
    """
    path = config.sqlite_path
    if path is None or not path.is_file() or not path.stat().st_size:
        return None
    findings = log_findings(path) + file_findings(path, whole=whole)
    if not findings:
        return None
    without_log = beside(path, "-wal").exists() and not file_findings(path, log=False)
    if findings == [ANOTHER_DATABASE]:
        if not without_log:
            return None
        findings = [FOREIGN_LOG]
    reads_log = findings == [DAMAGED] or not without_log
    parts = list(_parts(path, log=reads_log))
    if not any(part.rows for part in parts):
        parts = []
    backup = newest_sound(config.home / "backups")
    return Health(findings, parts, backup, without_log, reads_log)


def file_findings(path: Path, *, whole: bool = False, log: bool = True) -> list[str]:
    """What SQLite's check finds, and which tables are missing."""
    check = "integrity_check" if whole else "quick_check"
    try:
        with closing(_open(path, log=log)) as journal:
            rows = journal.execute(f"PRAGMA {check}({MOST_FINDINGS})").fetchall()
            lines = [line for (text,) in rows for line in text.splitlines()]
            found = [line for line in lines if line != "ok" and not line.startswith("***")]
            return found or _missing(journal)
    except sqlite3.DatabaseError as error:
        code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF
        return [UNREADABLE.format(error)] if code in DAMAGE else []


def newest_sound(folder: Path) -> Path | None:
    """The newest backup in which nothing wrong is found."""
    backups: list[tuple[float, Path]] = []
    with suppress(OSError):
        backups = sorted((path.stat().st_mtime, path) for path in folder.rglob("*.db"))
    newest = [path for _, path in backups[: -MOST_BACKUPS - 1 : -1]]
    return next((path for path in newest if not file_findings(path)), None)


def _open(path: Path, *, log: bool = True) -> sqlite3.Connection:
    """Without a log nobody has it open; then SQLite would leave an empty one behind."""
    how = "mode=ro" if log and beside(path, "-wal").exists() else "immutable=1"
    return sqlite3.connect(f"{path.resolve().as_uri()}?{how}", uri=True, timeout=1)


def _missing(journal: sqlite3.Connection) -> list[str]:
    tables = {row[0] for row in journal.execute("SELECT name FROM sqlite_master")}
    if not tables & {"alembic_version", "brew"}:
        return [ANOTHER_DATABASE]
    if "alembic_version" not in tables:
        return [NO_REVISION]
    row = journal.execute("SELECT version_num FROM alembic_version").fetchone()
    if row is None:
        return [NO_REVISION]
    if row[0] not in revisions():
        return [f"{NEWER} (revision {row[0]})."]
    needed = set(Base.metadata.tables) if row[0] == head() else {"brew"}
    return [f"The table {name} is missing." for name in sorted(needed - tables)]


def _parts(path: Path, *, log: bool) -> Iterator[Part]:
    """Every table, read from its first row on and, past a damaged place, from its last one back."""
    try:
        with closing(_open(path, log=log)) as journal:
            journal.execute(READ_ON)
            for name in sorted(Base.metadata.tables):
                first, whole = _count(journal, name, "ASC")
                yield Part(
                    name, first if whole else first + _count(journal, name, "DESC")[0], whole
                )
    except sqlite3.Error:
        return


def _count(journal: sqlite3.Connection, table: str, order: str) -> tuple[int, bool]:
    rows = 0
    try:
        statement = f'SELECT * FROM "{table}" NOT INDEXED ORDER BY rowid {order}'  # noqa: S608
        for _ in journal.execute(statement):
            rows += 1
    except sqlite3.Error:
        return rows, False
    return rows, True
