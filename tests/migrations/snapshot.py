"""Keep a populated journal of the newest revision, for the upgrade tests of later ones.

`make snapshot` writes past/NNNN.sql once a revision is final; the tests of each later revision
upgrade it. A snapshot of a released revision is never written again.
"""

from __future__ import annotations

import sqlite3
import sys
import tempfile
from contextlib import closing
from pathlib import Path

from app.database import Database
from app.revisions import head
from app.schema import upgrade
from tests.migrations.filling import fill
from tests.support.factories import Make

PAST = Path(__file__).parent / "past"


def write(revision: str) -> Path:
    """Migrate an empty journal to the revision, fill it, and write it as SQL."""
    with tempfile.TemporaryDirectory() as folder:
        journal = Path(folder) / "journal.db"
        upgrade(f"sqlite:///{journal}", revision)
        database = Database(f"sqlite:///{journal}")
        fill(Make(database), revision)
        database.dispose()
        target = PAST / f"{revision}.sql"
        with closing(sqlite3.connect(journal)) as source:
            target.write_text("\n".join(source.iterdump()) + "\n", encoding="utf-8")
    return target


def load(snapshot: Path, journal: Path) -> None:
    with closing(sqlite3.connect(journal)) as target:
        target.executescript(snapshot.read_text(encoding="utf-8"))


if __name__ == "__main__":
    print(write(sys.argv[1] if len(sys.argv) > 1 else head()))
