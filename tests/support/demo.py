"""The demo household for tests that only look at it: built once a run, copied for each of them."""

from __future__ import annotations

import fcntl
import shutil
from datetime import date
from pathlib import Path

from app.config import Config
from seed_demo import ensure_demo


def demo_in(home: Path, run_folder: Path, today: date | None = None) -> Config:
    """A demo journal of that day (else of the machine's) in the folder `home`."""
    built = _at(run_folder / f"demo of {today or 'this day'}")
    built.home.mkdir(exist_ok=True)
    with (built.home / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (built.home / "demo.db").exists():
            ensure_demo(built, today)
    shutil.copyfile(built.home / "demo.db", home / "demo.db")
    return _at(home)


def _at(home: Path) -> Config:
    return Config(f"sqlite:///{home / 'demo.db'}", home, "for tests only", demo=True)
