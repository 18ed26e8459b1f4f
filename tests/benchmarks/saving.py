"""Saving a brew against the bare durable commit of the same rows and a bare Flask reply.

The rows are those the app wrote while listened to: the same INSERT statements run by raw sqlite3
in one transaction begun IMMEDIATE, write-ahead log, synchronous FULL, with the numbers of this
turn put in. Both write to copies of the journal of their own, on the same disk.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any
from urllib.parse import urlencode
from uuid import uuid4

from tests.benchmarks.generate import copy, remove
from tests.benchmarks.pages import bare_reply
from tests.benchmarks.result import Result, ms
from tests.benchmarks.site import Reply, Site, environ, reply
from tests.benchmarks.timing import medians
from tests.support.page import form

ROUNDS = 60
BOUND = 2.0
WRITES = ("INSERT", "UPDATE", "DELETE")


def saving(journal: Path) -> Result:
    copies = [journal.with_name(f"bench-save-{which}.db") for which in "ab"]
    try:
        for one in copies:
            copy(journal, one)
        return _saving(*copies)
    finally:
        for one in copies:
            remove(one)


def _saving(of_the_app: Path, of_sqlite: Path) -> Result:
    site = Site(of_the_app)
    save = _saver(site)
    with site.listening() as heard:
        save()
    writes = [(sql, values) for sql, values in heard if sql.startswith(WRITES)]
    with closing(_durable(of_sqlite)) as raw:
        took = medians(
            {"save": save, "commit": _committer(raw, writes), "reply": bare_reply()},
            ROUNDS,
            waits=True,
        )
    site.close()
    least = took["commit"] + took["reply"]
    told = (
        f"{ms(took['save'])} / (commit {ms(took['commit'])} + reply {ms(took['reply'])}), "
        f"{len(writes)} of {len(heard)} statements write"
    )
    return Result("saving a brew", BOUND, took["save"] / least, told)


def _saver(site: Site) -> Callable[[], Reply]:
    """Sends the filled form of a new brew, as the browser does, each time with a key of its own."""
    page = site.get("/brews/new")
    values = form(page.body.decode(), holding="entry_key")
    cookie = page.headers["Set-Cookie"].split(";")[0]

    def save() -> Reply:
        body = urlencode(values | {"entry_key": [str(uuid4())]}, doseq=True).encode()
        told = environ(
            "/brews/new",
            method="POST",
            headers={"Cookie": cookie, "Sec-Fetch-Site": "same-origin"},
            content_type="application/x-www-form-urlencoded",
        )
        answer = reply(site.app, told, body)
        if answer.status != 303:
            raise RuntimeError(f"the brew was not saved: {answer.status}")
        return answer

    return save


def _durable(path: Path) -> sqlite3.Connection:
    raw = sqlite3.connect(path, isolation_level=None)
    for pragma in ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON"):
        raw.execute(f"PRAGMA {pragma}")
    return raw


def _committer(raw: sqlite3.Connection, writes: list[tuple[str, Any]]) -> Callable[[], None]:
    """Runs the writes again; the key and the number of the first brew stand for those to come."""
    (_, first), *_ = writes
    key = first[0]
    was = raw.execute("SELECT max(id) + 1 FROM brew").fetchone()[0]

    def commit() -> None:
        number, fresh = None, str(uuid4())
        raw.execute("BEGIN IMMEDIATE")
        for statement, values in writes:
            now = [fresh if v == key else number if v == was else v for v in values]
            done = raw.execute(statement, now)
            if statement.startswith("INSERT INTO brew "):
                number = done.lastrowid
        raw.execute("COMMIT")

    return commit
