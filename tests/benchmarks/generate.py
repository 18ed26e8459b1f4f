"""Journals to measure on: 100,000 and 1,000 generated brews of one shape.

Eight brews a day in a busy kitchen: thirty-three years of them, or four months. Bags hold some 18
brews, but one gave 200 (every second of the latest 420); papers are used 1 to 8 times, a metal
filter in every twentieth brew, now and then two papers at once; two brews in five have a note,
half are tasted, one in fifty is measured and one in 500 is in the bin (more of the latest, so that
both fill the pages that read at most 400 measured ones); a tenth are of one recipe; 200 pairs are
kept side by side. Sixty blind tests, 120 questions, 300 asks and 55 sittings, one of them under
way, stand in both; one question has much under it. Gear and recipes are the same in both, and lists
are long enough in both for a full page. The rows are made up and say nothing about coffee.

A journal is made once and kept in .journal/, its name carrying a digest of what made it.
"""

from __future__ import annotations

import hashlib
import os
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path
from random import Random

from sqlalchemy import Connection, bindparam, create_engine, event, insert, update

from app.models import Base, BlindTest
from app.revisions import MIGRATIONS
from app.schema import upgrade
from tests.benchmarks import rows
from tests.benchmarks.rows_asked import asked
from tests.benchmarks.rows_blind import blind_tests, given_up

FOLDER = Path(__file__).resolve().parents[2] / ".journal"
MANY, FEW = 100_000, 1_000


def ensure(brews: int) -> Path:
    """The journal with so many brews, made if it is not there yet."""
    path = FOLDER / f"bench-{brews}-{_digest()}.db"
    if not path.exists():
        FOLDER.mkdir(exist_ok=True)
        for old in FOLDER.glob(f"bench-{brews}-*"):
            old.unlink()
        partial = path.with_suffix(f".{os.getpid()}.partial")
        write(partial, brews)
        partial.rename(path)
    return path


def _digest() -> str:
    told = hashlib.sha256()
    here = sorted(Path(__file__).parent.glob("rows*.py"))
    for source in [Path(__file__), *here, *sorted((MIGRATIONS / "versions").glob("*.py"))]:
        told.update(source.read_bytes())
    return told.hexdigest()[:12]


def write(path: Path, brews: int) -> None:
    """A fresh journal at `path`, made without waiting for the disk."""
    url = f"sqlite:///{path}"
    upgrade(url)
    engine = create_engine(url)
    event.listen(engine, "connect", lambda raw, _: raw.execute("PRAGMA synchronous = OFF"))
    with engine.begin() as connection:
        for table, made in _families(brews):
            _insert(connection, table, made)
        test = BlindTest.__table__
        ended = [{"of": row.pop("id"), **row} for row in given_up()]
        connection.execute(update(test).where(test.c.id == bindparam("of")), ended)
    engine.dispose()


def _insert(connection: Connection, table: str, made: Sequence[rows.Row]) -> None:
    statement = insert(Base.metadata.tables[table])
    for start in range(0, len(made), 20_000):
        connection.execute(statement, made[start : start + 20_000])


def _families(count: int) -> Iterator[tuple[str, Sequence[rows.Row]]]:
    rng = Random(count)
    yield from rows.gear().items()
    bag_of = rows.bags_of_brews(count, rng)
    brews = rows.brews(bag_of, rng)
    yield from rows.bags(brews, rng).items()
    filters, uses = rows.filters(brews, rng)
    yield from filters.items()
    yield "brew", brews
    yield "filter_use", uses
    yield "tasting", list(rows.tastings(brews, rng))
    yield "side_by_side", rows.side_by_sides(brews, rng)
    yield from blind_tests(rng).items()
    yield from asked(brews, rng).items()


def copy(journal: Path, to: Path) -> None:
    """Through SQLite: opening the file by other means would drop this process's locks on it."""
    with closing(sqlite3.connect(journal)) as source, closing(sqlite3.connect(to)) as target:
        source.backup(target)


def remove(journal: Path) -> None:
    for tail in ("", "-wal", "-shm"):
        journal.with_name(journal.name + tail).unlink(missing_ok=True)
