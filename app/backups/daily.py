"""A backup a day while the journal is in use, in the background."""

import glob
import sqlite3
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from threading import Event, Lock, Thread
from time import monotonic, time

from app.backups.checks import CouldNotLook
from app.backups.copying import folder_for, take
from app.backups.files import only_one, remove
from app.backups.folders import place, usual_folder
from app.backups.names import (
    BEFORE_RESTORE,
    BY_HAND,
    DAILY,
    DOUBTFUL,
    NAME,
    PARTIAL,
    Backup,
    backups_in,
    new_name,
)
from app.backups.online import Stopped
from app.backups.record import note, owner_of, record_of, stamp
from app.backups.thin import AHEAD, kept, kept_copies
from app.config import Config
from app.trouble import in_words

WAIT_S = 3.0  # lets the first page go first
LOOK_EVERY_S = 3600.0
BEFORE_UPDATE = "before an update"
LEFT_OVER_S = 24 * 3600.0

Clock = Callable[[], datetime]


class DailyBackups:
    """Looks after the backups of one journal while it is served.

    `look` is called with each page and only compares two numbers; the rest is done in a thread.
    """

    def __init__(self, config: Config, clock: Clock, wait_s: float = WAIT_S) -> None:
        self._config, self._clock, self._wait_s = config, clock, wait_s
        self._day: date | None = None
        self._looked = 0.0
        self._stopping = Event()
        self._deciding = Lock()
        self._thread: Thread | None = None

    def look(self) -> None:
        """Start a backup if none was made today; a failed one is tried again after an hour."""
        day = self._clock().astimezone().date()
        with self._deciding:
            fresh = day == self._day and monotonic() - self._looked < LOOK_EVERY_S
            busy = self._thread is not None and self._thread.is_alive()
            if fresh or busy or self._stopping.is_set():
                return
            self._day, self._looked = day, monotonic()
            self._thread = Thread(target=self._run, name="daily backup", daemon=True)
            self._thread.start()

    def _run(self) -> None:
        if not self._stopping.wait(self._wait_s):
            care_for(self._config, self._clock(), self._stopping.is_set)

    def stop(self, wait_s: float = 10.0) -> None:
        """Give up a copy that is being made, so that the journal can be closed."""
        self._stopping.set()
        if self._thread is not None:
            self._thread.join(wait_s)


def care_for(config: Config, now: datetime, stopped: Callable[[], bool] = lambda: False) -> None:
    """Make today's backup if there is none, thin the older ones, and note how it went.

    Nothing is raised: what went wrong stands in the record, for the pages to say.
    """
    journal = config.sqlite_path
    if journal is None or config.demo or not journal.exists():
        return
    try:
        with only_one(journal) as alone:
            if alone:
                _make_and_thin(config, journal, now, stopped)
    except Stopped:
        return
    except (OSError, ValueError, CouldNotLook, sqlite3.Error) as error:
        _note_failure(journal, in_words(error), now)


def _make_and_thin(
    config: Config, journal: Path, now: datetime, stopped: Callable[[], bool]
) -> None:
    owner = owner_of(journal)
    where = place(config, record_of(journal))
    folder = folder_for(config, DAILY)
    folders = {folder, usual_folder(config)}
    note(journal, away=where.away)
    _note_newest(journal, _own(folders, owner), now)
    _sweep(journal, folders)
    today = _local(now).date()
    daily = [backup for backup in _own({folder}, owner) if backup.label == DAILY]
    if not any(_local(backup.made_at).date() == today for backup in daily):
        take(journal, folder / new_name(DAILY, owner, now), DAILY, stopped)
        note(journal, failure="", failed_at="")
    for each in folders:
        _thin(_own({each}, owner), now)
    _note_newest(journal, _own(folders, owner), now)


def _own(folders: set[Path], owner: str) -> list[Backup]:
    return [each for folder in folders for each in backups_in(folder, owner) if each.own]


def _note_newest(journal: Path, own: list[Backup], now: datetime) -> None:
    """A backup that was deleted counts no more, and one dated ahead does not count yet."""
    counted = [b for b in own if b.label in {DAILY, BY_HAND} and b.made_at <= now + AHEAD]
    newest = max(counted, key=lambda backup: backup.made_at, default=None)
    note(
        journal,
        newest=str(newest.path) if newest else "",
        newest_at=stamp(newest.made_at) if newest else "",
    )


def _note_failure(journal: Path, why: str, now: datetime) -> None:
    try:
        note(journal, failure=why, failed_at=stamp(now))
    except OSError:
        return  # the folder of the journal cannot be written: its pages say so when one saves


def _thin(own: list[Backup], now: datetime) -> None:
    daily = [backup for backup in own if backup.label == DAILY]
    _remove_all_but(kept([_local(each.made_at) for each in daily], _local(now)), daily)
    copies: dict[str, list[Backup]] = {BEFORE_RESTORE: [], BEFORE_UPDATE: [], DOUBTFUL: []}
    for backup in own:
        update = backup.label.startswith("before-") and backup.label != BEFORE_RESTORE
        copies.get(BEFORE_UPDATE if update else backup.label, []).append(backup)
    for kind in copies.values():
        _remove_all_but(kept_copies([backup.made_at for backup in kind], now), kind)


def _remove_all_but(stay: set[datetime], backups: list[Backup]) -> None:
    for backup in backups:
        if backup.made_at not in stay:
            remove(backup.path)


def _sweep(journal: Path, folders: set[Path]) -> None:
    """Remove what a program that was killed left half done, a day after."""
    halves = [path for folder in folders for path in folder.glob(f"*.db{PARTIAL}*")]
    halves += journal.parent.glob(f"{glob.escape(journal.name)}*{PARTIAL}*")
    for path in halves:
        named = NAME.match(path.name) or path.name.startswith(journal.name)
        if named and time() - path.stat().st_mtime > LEFT_OVER_S:
            path.unlink(missing_ok=True)


def _local(moment: datetime) -> datetime:
    """In this machine's time zone: a day ends at its midnight."""
    return moment.astimezone()
