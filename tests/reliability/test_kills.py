"""A brew that was answered "saved" is on disk, whatever happens to the server a moment later.

The server is killed at random moments of a storm of saves, without warning (SIGKILL), and
started again on the same journal. This shows what a killed program loses; a power cut that the
disk answers with lies is beyond it (SQLite's synchronous = FULL is what stands against that).
`make test` does a few rounds, `make test-reliability` the full number.
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
from threading import Event, Thread
from uuid import uuid4

import pytest

from app.backup import find_damage
from app.config import Config
from tests.support.caller import Caller
from tests.support.factories import Make
from tests.support.page import Values
from tests.support.server import port_of_our_own, started

KILLS = int(os.environ.get("ODDCUP_TEST_KILLS", "3"))
CLIENTS = 4


class Storm:
    """Client threads that save brews without pause until the server is gone."""

    def __init__(self, caller: Caller, offered: Values) -> None:
        self.caller, self.offered = caller, offered
        self.acknowledged: set[str] = set()
        self.other_answers: set[int] = set()
        self.first_saved = Event()

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
            key = str(uuid4())
            values = self.offered | {"entry_key": [key], "note": [f"Brew {key}"]}
            try:
                answer = self.caller.post("/brews/new", values)
            except (OSError, HTTPException):
                return
            if answer == 303:
                self.acknowledged.add(key)
                self.first_saved.set()
            else:
                self.other_answers.add(answer)


def _saved(journal: Path) -> tuple[set[str], int]:
    """The keys of all brews, and how many brews lack the filter they were sent with."""
    with closing(sqlite3.connect(journal)) as reader:
        keys = {row[0] for row in reader.execute("SELECT entry_key FROM brew")}
        query = "SELECT count(*) FROM brew WHERE id NOT IN (SELECT brew_id FROM filter_use)"
        return keys, reader.execute(query).fetchone()[0]


def test_no_acknowledged_brew_is_lost_when_the_server_is_killed(
    sqlite_config: Config, make: Make
) -> None:
    journal = sqlite_config.sqlite_path
    assert journal is not None
    make.brew(filters=[make.filter()])
    port = port_of_our_own()
    caller = Caller(f"http://127.0.0.1:{port}")
    offered: Values = {}
    acknowledged: set[str] = set()
    moments = random.Random(8473)
    for _round in range(KILLS):
        with started(sqlite_config, port) as server:
            offered = offered or caller.brew_form()
            storm = Storm(caller, offered)

            def kill(server: subprocess.Popen[str] = server) -> None:
                time.sleep(moments.uniform(0, 0.3))
                server.kill()

            storm.rage(kill)
        acknowledged |= storm.acknowledged
        assert storm.other_answers == set()
        saved, without_filter = _saved(journal)
        assert acknowledged <= saved
        assert without_filter == 0
        assert find_damage(sqlite_config) == []
    assert len(acknowledged) >= KILLS
    print(f"{KILLS} kills, {len(acknowledged)} brews acknowledged, none lost")


@pytest.fixture(autouse=True)
def _sqlite_only(config: Config) -> None:
    if config.sqlite_path is None:
        pytest.skip("PostgreSQL keeps its own promises; this is about the journal's file")
