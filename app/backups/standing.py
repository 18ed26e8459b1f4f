"""How old the newest backup is, and what a backup holds, for the pages to say."""

import sqlite3
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from app.backups.files import reading_file
from app.backups.names import Backup
from app.backups.record import moment, record_of
from app.config import Config

OVERDUE = timedelta(days=7)
# What a backup is described by: table and plain words.
MAIN_TABLES = (
    ("brew", "Brews"),
    ("tasting", "Tastings"),
    ("bag", "Bags"),
    ("filter", "Filters"),
    ("recipe", "Recipes"),
    ("blind_test", "Blind tests"),
    ("question", "Questions"),
    ("brew_photo", "Photos"),
)


@dataclass(frozen=True, slots=True)
class Standing:
    """Read from the record beside the journal, so that no page waits for another disk.

    `newest_at` is when the newest backup that passed its checks was made. `overdue`: that is more
    than a week ago, or there is none a week after backups began.
    """

    newest_at: datetime | None
    failure: str
    failed_at: datetime | None
    away: str
    overdue: bool

    @property
    def in_trouble(self) -> bool:
        return bool(self.failure or self.away or self.overdue)


def standing(config: Config, now: datetime) -> Standing | None:
    """None where no daily backups are made: on PostgreSQL, and of the demo household."""
    journal = config.sqlite_path
    if journal is None or config.demo:
        return None
    record = record_of(journal)
    newest_at = moment(record.newest_at)
    counted_from = newest_at or moment(record.since)
    overdue = counted_from is not None and now - counted_from > OVERDUE
    return Standing(newest_at, record.failure, moment(record.failed_at), record.away, overdue)


@dataclass(frozen=True, slots=True)
class Contents:
    """What is in a journal's file: rows of the main tables, and the day of the latest brew."""

    revision: str
    counts: dict[str, int]
    latest_brew_on: str | None


def contents_of(path: Path) -> Contents | None:
    """None for a file that cannot be read as a journal."""
    try:
        with reading_file(path) as journal:
            return _contents(journal)
    except sqlite3.DatabaseError:
        return None


def _contents(journal: sqlite3.Connection) -> Contents:
    query = "SELECT name FROM sqlite_master WHERE type = 'table'"
    there = {name for (name,) in journal.execute(query)}
    counts = {
        words: journal.execute(f"SELECT count(*) FROM {table}").fetchone()[0]  # noqa: S608
        for table, words in MAIN_TABLES
        if table in there
    }
    (revision,) = journal.execute("SELECT version_num FROM alembic_version").fetchone() or ("",)
    (latest,) = journal.execute("SELECT max(brewed_on) FROM brew").fetchone()
    return Contents(str(revision), counts, latest)


def brews_not_in(backup: Backup, journal: Path) -> int | None:
    """How many of the journal's brews a backup does not hold; None where that cannot be read."""
    try:
        with reading_file(journal) as now:
            now.execute("ATTACH ? AS backup", (str(backup.path.resolve()),))
            query = """
                SELECT count(*) FROM main.brew
                WHERE entry_key NOT IN (SELECT entry_key FROM backup.brew)
            """
            count: int = now.execute(query).fetchone()[0]
            return count
    except sqlite3.DatabaseError:
        return None
