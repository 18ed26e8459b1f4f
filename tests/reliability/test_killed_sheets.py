"""A sheet whose import is killed at any moment is in whole or not at all, and can come in again."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path
from time import perf_counter, sleep

import pytest
from flask import Flask
from sqlalchemy.orm import Session

from app.backups.checks import find_damage
from app.config import Config, sqlite_url
from app.database import Database
from app.models import Brew
from app.sheets import keeping
from app.sheets.looking import look
from app.sheets.words import STOPPED
from app.sheets.writing import begin
from tests.migrations.rows import Rows, read_rows
from tests.sheets.conftest import Sender
from tests.support import sheets
from tests.support.clock import NOON

pytestmark = pytest.mark.servers

LINES, MOMENTS = 1600, 10
OFFER = re.compile(r"Bring in 1\W?600 brews")
CLEAN = get_context("forkserver")  # a process without our threads, and quick to start
CLEAN.set_forkserver_preload(["tests.reliability.test_killed_sheets"])


def _bring_in(config: Config, ready: Connection) -> None:
    """What the server does once a sheet is to come in."""
    database, kept = Database(config.url), keeping.state(config, 1)
    assert kept
    with Session(database.reader) as session:
        seen = look(session, keeping.grids(config, 1)[kept.sheet], kept, NOON)
    ready.send("ready")
    begin(config, database, 1, kept, seen, NOON, NOON.date(), "")
    while keeping.is_coming(config, 1):
        sleep(0.02)


def _run(config: Config, kill_after_s: float | None = None) -> float:
    """How long it lasted from its beginning, killed then if a moment is given."""
    here, there = CLEAN.Pipe()
    process = CLEAN.Process(target=_bring_in, args=(config, there))
    process.start()
    assert here.recv() == "ready"
    start = perf_counter()
    process.join(kill_after_s)
    if kill_after_s is not None:
        process.kill()
        process.join()
    return perf_counter() - start


def _copies(config: Config, folder: Path) -> Iterator[Config]:
    """The journal and the sheet that waits beside it, each time in a folder of its own."""
    journal = config.sqlite_path
    assert journal
    number = 0
    while True:
        home = folder / f"copy {(number := number + 1)}"
        home.mkdir()
        shutil.copytree(config.home / "sheets", home / "sheets")
        for part in journal.parent.glob(f"{journal.name}*"):
            shutil.copyfile(part, home / part.name)
        yield replace(config, url=sqlite_url(home / journal.name), home=home)


def _rows(config: Config) -> Rows:
    return read_rows(config.url)


def test_an_import_of_a_sheet_killed_at_ten_moments(
    sqlite_config: Config, app: Flask, journal: Database, tmp_path: Path
) -> None:
    sender = Sender(app.test_client(), journal)
    sender.send(sheets.many(tmp_path, LINES).read_bytes())
    assert OFFER.search(sender.say(brewer="Hill press"))
    config: Config = app.config["JOURNAL"]
    copies = _copies(config, tmp_path)
    before = _rows(config)
    lasts = _run(whole_copy := next(copies))
    whole = _rows(whole_copy)
    assert len(whole["brew"]) == LINES
    unchanged = 0
    for moment in range(MOMENTS):
        _run(copy := next(copies), lasts * moment / MOMENTS)
        rows = _rows(copy)
        unchanged += rows == before
        assert rows == before or {table: len(of) for table, of in rows.items()} == {
            table: len(of) for table, of in whole.items()
        }
        assert find_damage(copy) == []
    assert unchanged >= MOMENTS // 2
    _run(config, lasts / 2)
    answer = sender.client.get(f"{sender.at}/progress")
    assert answer.status_code == 303
    assert STOPPED in (shown := sender.shown())
    assert OFFER.search(shown)
    assert sender.count(Brew) == 0
    sender.bring_in()
    while keeping.is_coming(config, 1):
        sleep(0.1)
    assert sender.count(Brew) == LINES
