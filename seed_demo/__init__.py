"""An invented household with a year of brews, to look around in before logging one's own."""

from __future__ import annotations

import gc
import os
from datetime import date, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from app.config import Config, sqlite_url
from app.database import Database
from app.schema import bring_up_to_date, current, upgrade
from app.web.clock import machine_clock
from seed_demo.household import ZONE
from seed_demo.writing import SEED, build

__all__ = ["SEED", "build", "ensure_demo"]


def ensure_demo(config: Config, today: date | None = None, seed: int = SEED) -> None:
    """Create the demo journal at config.url, its year ending the day before `today`.

    One that exists is only brought up to date. A new one is written to a temporary file and then
    renamed, in case of a crash. Raises ValueError for a journal on PostgreSQL.
    """
    path = config.sqlite_path
    if path is None:
        raise ValueError("The demo household needs a SQLite file of its own.")
    if path.exists() and current(config.url) is not None:
        bring_up_to_date(config)
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    today = today or machine_clock().astimezone(ZoneInfo(ZONE)).date()
    partial = path.with_name(f"{path.name}.{os.getpid()}.partial")
    try:
        _write(sqlite_url(partial), today - timedelta(days=1), seed)
        _remove(path, tails_only=True)
        partial.replace(path)
    finally:
        _remove(partial)


def _write(url: str, end_on: date, seed: int) -> None:
    collects = gc.isenabled()
    gc.disable()  # nothing is let go of before the commit; looking for it is a fifth of the time
    try:
        upgrade(url)
        database = Database(url)
        try:
            with Session(database.writer) as session, session.begin():
                build(session, end_on, seed)
        finally:
            database.dispose()
    finally:
        if collects:
            gc.enable()


def _remove(path: Path, tails_only: bool = False) -> None:
    for tail in ("-wal", "-shm") if tails_only else ("", "-wal", "-shm"):
        path.with_name(path.name + tail).unlink(missing_ok=True)
