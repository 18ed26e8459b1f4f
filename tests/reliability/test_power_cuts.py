"""After a power cut at any moment, what was acknowledged is on the disk and the journal is sound.

See tests/support/power.py for what a cut takes away. `make test` tries a few cuts of each kind,
`make test-reliability CUTS=100` the full number.
"""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing, suppress
from http.client import HTTPException
from pathlib import Path
from threading import Event, Thread
from uuid import uuid4

import pytest

from app.backups.checks import find_damage
from app.config import Config
from app.database import Database
from app.file.hold import holding
from app.schema import upgrade
from tests.migrations.rows import read_rows
from tests.migrations.snapshot import PAST, load
from tests.support.caller import Caller
from tests.support.factories import Make
from tests.support.page import Values, form
from tests.support.power import Call, Disk, calls, under_strace
from tests.support.server import ROOT, port_of_our_own, started

CUTS = int(os.environ.get("ODDCUP_TEST_CUTS", "12"))
ANSWER = re.compile(rb"HTTP/1\.1 303 .*?\r\nLocation: (/brews/\d+)\r\n", re.S)

pytestmark = pytest.mark.skipif(not shutil.which("strace"), reason="needs strace")


@pytest.fixture(autouse=True)
def _sqlite_only(config: Config) -> None:
    if config.sqlite_path is None:
        pytest.skip("PostgreSQL keeps its own promises; this is about the journal's file")


@pytest.fixture
def place(tmp_path: Path, sqlite_config: Config) -> Path:
    """A folder that holds the journal alone."""
    folder = tmp_path.resolve() / "home"
    folder.mkdir()
    assert sqlite_config.sqlite_path is not None
    shutil.copyfile(sqlite_config.sqlite_path, folder / "journal.db")
    return folder


def config_in(folder: Path) -> Config:
    return Config(url=f"sqlite:///{folder / 'journal.db'}", home=folder, secret_key="x")  # noqa: S106


def add_brews(folder: Path, *notes: str) -> None:
    journal = Database(config_in(folder).url)
    make = Make(journal)
    for note in notes:
        make.brew(note=note, entry_key=str(uuid4()))
    journal.dispose()


def cut_through(
    disk: Disk, notes: Path, target: Path, look: Callable[[list[Call]], None], start: int = 0
) -> int:
    """Cut the power at CUTS moments of what was noted, and look at what is left each time."""
    made = list(calls(notes))
    chance = random.Random(len(made))
    moments = set(chance.sample(range(start, len(made)), min(CUTS, len(made) - start)))
    for number, call in enumerate(made):
        disk.heed(call)
        if number in moments:
            disk.cut(target, chance)
            look(made[: number + 1])
    return len(moments)


def printed(made: list[Call]) -> str:
    return b"".join(
        b"".join(call.texts()) for call in made if call.name == "write" and call.fd()[0] == 1
    ).decode()


def keeps_its_log(folder: Path) -> bool:
    """Whether the next start takes the log for the journal's own, wherever the cut was."""
    with holding(folder / "journal.db", "serve") as held:
        return held.stray_log is None


def brews(journal: Path) -> dict[str, str]:
    with closing(sqlite3.connect(journal)) as reader:
        rows = reader.execute("SELECT id, entry_key, note FROM brew").fetchall()
    assert len({key for _, key, _ in rows}) == len(rows)
    return {f"/brews/{row_id}": f"{key} {note}" for row_id, key, note in rows}


class Kitchen:
    """Clients that save new brews, and one that changes one brew again and again."""

    def __init__(self, address: str) -> None:
        self.caller = Caller(address)
        self.offered: Values = self.caller.brew_form()
        self.saved: dict[str, str] = {}
        self.stop = Event()

    def work(self, seconds: float) -> None:
        threads = [Thread(target=self._log) for _ in range(2)] + [Thread(target=self._change)]
        for thread in threads:
            thread.start()
        time.sleep(seconds)
        self.stop.set()
        for thread in threads:
            thread.join()

    def _log(self) -> None:
        while not self.stop.is_set():
            key = str(uuid4())
            with suppress(OSError, HTTPException):
                status, location = self.caller.send(
                    "/brews/new", self.offered | {"entry_key": [key], "note": ["logged"]}
                )
                assert status == 303
                self.saved[location] = key

    def _change(self) -> None:
        for number in range(1, 10_000):
            if self.stop.is_set():
                return
            held = form(self.caller.get("/brews/1/edit"), holding="dose_g")
            status, _ = self.caller.send("/brews/1/edit", held | {"note": [str(number)]})
            assert status == 303


def test_what_was_answered_saved_is_there_after_a_power_cut(place: Path, tmp_path: Path) -> None:
    add_brews(place, "0")
    disk, notes, left = Disk(place), tmp_path / "notes", tmp_path / "left"
    port = port_of_our_own()
    with started(config_in(place), port, lambda command: under_strace(notes, command)) as server:
        kitchen = Kitchen(f"http://127.0.0.1:{port}")
        kitchen.work(seconds=2 + CUTS / 25)
        server.send_signal(signal.SIGTERM)
        server.wait(60)
    first = next(n for n, call in enumerate(calls(notes)) if ANSWER.search(call.sent()))
    acknowledged = 0

    def look(made: list[Call]) -> None:
        nonlocal acknowledged
        assert keeps_its_log(left)
        answers = [a[1].decode() for call in made if (a := ANSWER.search(call.sent()))]
        found = brews(left / "journal.db")
        new = [location for location in answers if location != "/brews/1"]
        assert {found.get(location) for location in new} == {
            f"{kitchen.saved[location]} logged" for location in new
        }
        assert int(found["/brews/1"].split()[1]) >= answers.count("/brews/1")
        assert find_damage(config_in(left)) == []
        acknowledged = max(acknowledged, len(answers))

    count = cut_through(disk, notes, left, look, first)
    assert acknowledged > CUTS / 2
    print(f"{count} power cuts, up to {acknowledged} saves acknowledged before, none lost")


def test_a_migration_that_the_power_cut_ended_can_be_done_again(tmp_path: Path) -> None:
    place, notes, left = tmp_path.resolve() / "home", tmp_path / "notes", tmp_path / "left"
    place.mkdir()
    load(PAST / "0003.sql", place / "journal.db")
    before = read_rows(config_in(place).url)
    disk, port = Disk(place), port_of_our_own()
    server = oddcup(place, notes, "serve", "--port", str(port))
    assert server.stdout is not None
    assert any("is open at" in line for line in server.stdout)
    server.send_signal(signal.SIGTERM)
    server.communicate(timeout=60)
    whole = read_rows(config_in(place).url)

    def look(made: list[Call]) -> None:
        assert keeps_its_log(left)
        if read_rows(config_in(left).url) == before:
            upgrade(config_in(left).url)
        assert read_rows(config_in(left).url) == whole
        assert find_damage(config_in(left)) == []

    print(f"{cut_through(disk, notes, left, look)} power cuts while migrating")


def test_a_backup_with_a_name_is_whole_after_a_power_cut(place: Path, tmp_path: Path) -> None:
    add_brews(place, *(f"{number} " + "long " * 200 for number in range(40)))
    disk, notes, left = Disk(place), tmp_path / "notes", tmp_path / "left"
    kept = brews(place / "journal.db")
    done(oddcup(place, notes, "backup"))

    def look(made: list[Call]) -> None:
        backups = [path for path in left.rglob("*.db") if path.name != "journal.db"]
        for path in backups:
            assert brews(path) == kept
        assert brews(left / "journal.db") == kept
        assert backups or "backup" not in printed(made).lower()

    print(f"{cut_through(disk, notes, left, look)} power cuts while backing up")


def test_a_journal_is_the_old_or_the_new_one_after_a_power_cut_in_a_restore(
    place: Path, tmp_path: Path
) -> None:
    add_brews(place, "old " * 500)
    done(oddcup(place, tmp_path / "not looked at", "backup", str(tmp_path / "old.db")))
    add_brews(place, "new " * 500)
    disk, notes, left = Disk(place), tmp_path / "notes", tmp_path / "left"
    new = brews(place / "journal.db")
    done(oddcup(place, notes, "restore", str(tmp_path / "old.db")))
    old = brews(place / "journal.db")
    assert len(new) == len(old) + 1

    def look(made: list[Call]) -> None:
        found = brews(left / "journal.db")
        assert found == old or (found == new and "estored" not in printed(made))
        assert find_damage(config_in(left)) == []

    print(f"{cut_through(disk, notes, left, look)} power cuts while restoring")


def oddcup(place: Path, notes: Path, *arguments: str) -> subprocess.Popen[str]:
    """The command on the journal of a folder, watched."""
    command = [sys.executable, "-m", "app", "--journal", str(place / "journal.db"), *arguments]
    return subprocess.Popen(
        under_strace(notes, command),
        cwd=ROOT,
        env=os.environ | {"XDG_DATA_HOME": str(place)},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def done(command: subprocess.Popen[str]) -> None:
    said, _ = command.communicate(timeout=120)
    assert command.returncode == 0, said
