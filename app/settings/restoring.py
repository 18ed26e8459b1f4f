"""Restoring a backup while the journal is open in this server."""

from pathlib import Path

from flask import current_app

from app.backups.copying import OTHER_BACKUP
from app.backups.files import only_one
from app.backups.restoring import prepared, swap
from app.config import Config, sqlite_url
from app.file.lock import Lock
from app.file.opened import mark_of
from app.journal.blind.put_back import mark_if_put_back
from app.revisions import head
from app.schema import current, upgrade
from app.seals import seals_of
from app.web import clock
from app.web.damage import watch
from app.web.pause import pause
from app.web.session import close_reading, database

OTHERS_WAIT_S = 10.0
DAMAGED = (
    "The open journal is damaged, so it is not replaced while it is open. Close Oddcup, then "
    "enter: oddcup restore FILE"
)
STILL_BUSY = "Other pages are still being saved or read, so nothing was changed. Try again."


def restore_here(config: Config, journal: Path, backup: Path) -> Path | None:
    """Put a backup in the place of the journal that is open; returns where that one is kept.

    The new file is checked and brought up to date first. Only then are other requests turned
    away, and the journal closed, replaced and opened anew. Raises as `app.backups.restoring` does.
    """
    if watch().health is not None:
        raise RuntimeError(DAMAGED)
    with prepared(journal, backup, _bring_up_to_date) as ready:
        close_reading()
        try:
            with only_one(journal, OTHERS_WAIT_S) as free, pause().alone(OTHERS_WAIT_S):
                if not free:
                    raise RuntimeError(OTHER_BACKUP)
                return _replace(config, journal, ready)
        except TimeoutError:
            raise RuntimeError(STILL_BUSY) from None


def _replace(config: Config, journal: Path, ready: Path) -> Path | None:
    """The lock names the marks of both files until it is done: whichever is there after a power
    cut, its log is known to be its own."""
    db, mark = database(), mark_of(ready)
    lock: Lock | None = current_app.extensions.get("oddcup_lock")
    db.dispose()
    if lock is None or mark is None:
        kept = swap(config, journal, ready)
    else:
        lock.tell(marks=(*lock.holder.marks, mark))
        kept = swap(config, journal, ready)
        db.mark = mark
        lock.tell(marks=(mark,))
    mark_if_put_back(db, seals_of(config), clock.now())
    return kept


def _bring_up_to_date(copy: Path) -> None:
    url = sqlite_url(copy)
    if current(url) != head():
        upgrade(url)
