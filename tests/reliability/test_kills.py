"""What was answered "saved" is there, once, whatever happens to the server a moment later.

The server is killed at random moments of a storm of saves, without warning (SIGKILL), and
started again on the same journal. Forms whose answer never came are sent again, as their drafts
would be. What a power cut may take besides is tried in test_power_cuts.py. `make test` does a few
rounds, `make test-reliability KILLS=300` as many as asked for.
"""

from __future__ import annotations

import os
import random
import sqlite3
import subprocess
import time
from collections.abc import Callable
from contextlib import closing
from http.client import HTTPException
from pathlib import Path
from threading import Event, Lock, Thread
from typing import NamedTuple
from uuid import uuid4

import pytest

from app.backups.checks import find_damage
from app.config import Config
from tests.support.caller import Caller
from tests.support.factories import Make
from tests.support.page import Values, form
from tests.support.server import port_of_our_own, started

KILLS = int(os.environ.get("ODDCUP_TEST_KILLS", "3"))
CLIENTS = 6


class Kind(NamedTuple):
    """A form, the field that is made its own, and the statement that finds what it saved."""

    address: str
    holding: str
    field: str
    saved: str


KINDS = (
    Kind("/brews/new", "dose_g", "note", "SELECT note FROM brew"),
    Kind("/brews/1/taste", "liking", "words", "SELECT words FROM tasting"),
    Kind("/questions/new", "text", "text", "SELECT text FROM question"),
    Kind("/filters/packs/new", "count", "name", "SELECT name FROM filter_pack"),
    Kind("/bags/new", "net_g", "note", "SELECT note FROM bag"),
)


class Storm:
    """Client threads that save forms without pause until the server is gone."""

    def __init__(self, caller: Caller, offered: list[Values], chance: random.Random) -> None:
        self.caller, self.offered, self.chance = caller, offered, chance
        self.acknowledged: list[tuple[int, str]] = []
        self.unanswered: list[tuple[int, str, Values]] = []
        self.other_answers: set[int] = set()
        self.first_saved = Event()
        self._lock = Lock()

    def rage(self, kill: Callable[[], None]) -> None:
        threads = [Thread(target=self._save_on) for _ in range(CLIENTS)]
        for thread in threads:
            thread.start()
        assert self.first_saved.wait(60), f"nothing was saved; answers: {self.other_answers}"
        kill()
        for thread in threads:
            thread.join()

    def _save_on(self) -> None:
        while True:
            key, number = str(uuid4()), self.chance.randrange(len(KINDS))
            kind = KINDS[number]
            values = self.offered[number] | {"entry_key": [key], kind.field: [key]}
            try:
                answer = self.caller.post(kind.address, values)
            except (OSError, HTTPException):
                with self._lock:
                    self.unanswered.append((number, key, values))
                return
            self.note(number, key, answer)

    def note(self, number: int, key: str, answer: int) -> None:
        if answer == 303:
            self.acknowledged.append((number, key))
            self.first_saved.set()
        else:
            self.other_answers.add(answer)

    def send_again(self) -> int:
        """Send what was not answered once more; how often that was."""
        for number, key, values in self.unanswered:
            self.note(number, key, self.caller.post(KINDS[number].address, values))
        return len(self.unanswered)


def _offered(caller: Caller) -> list[Values]:
    usual = {"/filters/packs/new": {"count": ["40"]}, "/bags/new": {"name": ["Storm"]}}
    usual["/brews/1/taste"] = {"liking": ["6"], "new_taster": ["Kim"]}
    return [
        form(caller.get(kind.address), holding=kind.holding) | usual.get(kind.address, {})
        for kind in KINDS
    ]


def _saved(journal: Path) -> tuple[list[list[str]], int]:
    """What was saved of each kind, and how many brews lack the filter they were sent with."""
    with closing(sqlite3.connect(journal)) as reader:
        texts = [[row[0] for row in reader.execute(kind.saved)] for kind in KINDS]
        query = "SELECT count(*) FROM brew WHERE id NOT IN (SELECT brew_id FROM filter_use)"
        return texts, reader.execute(query).fetchone()[0]


def test_no_acknowledged_row_is_lost_or_doubled_when_the_server_is_killed(
    sqlite_config: Config, make: Make
) -> None:
    journal = sqlite_config.sqlite_path
    assert journal is not None
    make.brew(filters=[make.filter()])
    port = port_of_our_own()
    caller = Caller(f"http://127.0.0.1:{port}")
    acknowledged: set[tuple[int, str]] = set()
    moments, again = random.Random(8473), 0
    storm: Storm | None = None
    for _round in range(KILLS):
        with started(sqlite_config, port) as server:
            again += storm.send_again() if storm else 0
            acknowledged |= set(storm.acknowledged) if storm else set()
            storm = Storm(caller, storm.offered if storm else _offered(caller), moments)

            def kill(server: subprocess.Popen[str] = server) -> None:
                time.sleep(moments.uniform(0, 0.3))
                server.kill()

            storm.rage(kill)
        acknowledged |= set(storm.acknowledged)
        assert storm.other_answers == set()
        saved, without_filter = _saved(journal)
        for number, texts in enumerate(saved):
            keys = [text for text in texts if len(text) == 36]
            assert len(keys) == len(set(keys)), f"{KINDS[number].address} saved a form twice"
            assert {key for n, key in acknowledged if n == number} <= set(keys)
        assert without_filter == 0
        assert find_damage(sqlite_config) == []
    assert len(acknowledged) >= KILLS
    print(
        f"{KILLS} kills, {len(acknowledged)} forms acknowledged, {again} sent again after a kill: "
        "none lost, none twice"
    )


@pytest.fixture(autouse=True)
def _sqlite_only(config: Config) -> None:
    if config.sqlite_path is None:
        pytest.skip("PostgreSQL keeps its own promises; this is about the journal's file")
