"""Twelve ways in which a journal's file is damaged; each is done to a file that nobody has open."""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

PAGE_BYTES = 4096


def log_of(path: Path) -> Path:
    return path.with_name(path.name + "-wal")


def _write(path: Path, at: int, content: bytes) -> None:
    with path.open("r+b") as file:
        file.seek(at)
        file.write(content)


def _garble_page(path: Path, page: int) -> None:
    _write(path, (page - 1) * PAGE_BYTES, random.Random(page).randbytes(PAGE_BYTES))


def _root(path: Path, name: str) -> int:
    with closing(sqlite3.connect(path)) as journal:
        (page,) = journal.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = ?", (name,)
        ).fetchone()
    return int(page)


def _run(path: Path, *statements: str) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as journal:
        journal.execute("PRAGMA foreign_keys = OFF")
        for statement in statements:
            journal.execute(statement)


def header_overwritten(path: Path) -> None:
    _write(path, 0, b"spilled coffee! " * 7)


def cut_to_half(path: Path) -> None:
    with path.open("r+b") as file:
        file.truncate(path.stat().st_size // 2)


def cut_to_100_bytes(path: Path) -> None:
    with path.open("r+b") as file:
        file.truncate(100)


def page_of_brews_zeroed(path: Path) -> None:
    """One page of brews in the middle."""
    pages = _children(path, _root(path, "brew"))
    _write(path, (pages[len(pages) // 2] - 1) * PAGE_BYTES, bytes(PAGE_BYTES))


def _children(path: Path, page: int) -> list[int]:
    """The pages below an inner page of a table."""
    content = path.read_bytes()[(page - 1) * PAGE_BYTES : page * PAGE_BYTES]
    assert content[0] == 5
    cells = int.from_bytes(content[3:5], "big")
    starts = [int.from_bytes(content[at : at + 2], "big") for at in range(12, 12 + 2 * cells, 2)]
    return [int.from_bytes(content[at : at + 4], "big") for at in starts]


def index_page_garbled(path: Path) -> None:
    _garble_page(path, _root(path, "ix_brew_bag_id_brewed_at"))


def schema_page_garbled(path: Path) -> None:
    _write(path, 100, random.Random(1).randbytes(PAGE_BYTES - 100))


def free_pages_garbled(path: Path) -> None:
    _run(path, "CREATE TABLE gone AS SELECT randomblob(200000) AS x", "DROP TABLE gone")
    first = int.from_bytes(path.read_bytes()[32:36], "big")
    assert first
    _garble_page(path, first)


def log_garbled(path: Path) -> None:
    log = log_of(path)
    _write(log, log.stat().st_size // 2, random.Random(3).randbytes(log.stat().st_size // 4))


def log_of_another_journal(path: Path) -> None:
    """A log of other tables in a file of the same page size."""
    other = path.with_name("other.db")
    journal = sqlite3.connect(other, isolation_level=None)
    journal.execute("PRAGMA journal_mode = WAL")
    journal.execute("CREATE TABLE stamps (country TEXT, picture BLOB)")
    for _ in range(20):
        journal.execute("INSERT INTO stamps VALUES ('here', randomblob(9000))")
    log_of(path).write_bytes(log_of(other).read_bytes())
    journal.close()


def text_in_its_place(path: Path) -> None:
    path.write_text("Dear diary, today I brewed. " * 500)


def table_missing(path: Path) -> None:
    _run(path, "DROP TABLE tasting")


def revision_missing(path: Path) -> None:
    _run(path, "DELETE FROM alembic_version")


KINDS: dict[str, Callable[[Path], None]] = {
    kind.__name__.replace("_", " "): kind
    for kind in (
        header_overwritten, cut_to_half, cut_to_100_bytes, page_of_brews_zeroed, index_page_garbled,
        schema_page_garbled, free_pages_garbled, log_garbled, log_of_another_journal,
        text_in_its_place, table_missing, revision_missing,
    )
}  # fmt: skip
IN_LOG = ("log garbled", "log of another journal")
