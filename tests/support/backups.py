"""Looking into journals behind Oddcup's back, and damaging them."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from tests.support.factories import Make


def brews_in(file: Path) -> int:
    with closing(sqlite3.connect(file)) as journal:
        return int(journal.execute("SELECT count(*) FROM brew").fetchone()[0])


def change(file: Path, *statements: str) -> None:
    """Change a journal behind Oddcup's back, as damage or another program would."""
    with closing(sqlite3.connect(file)) as journal:
        for statement in statements:
            journal.execute(statement)
        journal.commit()


def bulky(make: Make, photos: int = 12) -> None:
    """Some megabytes, so that copying takes a while."""
    for number in range(photos):
        make.photo(make.brew(), bytes([number]) * 400_000)
