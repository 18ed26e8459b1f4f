"""Restoring puts a whole journal in place, sets the old one aside whole, or does nothing."""

from __future__ import annotations

import os
import random
import subprocess
import sys
import threading
import time
from http.client import HTTPException
from pathlib import Path
from uuid import uuid4

import pytest

from app.backups.checks import check_file, find_damage
from app.backups.copying import back_up
from app.backups.names import backups_in
from app.backups.restoring import held, restore
from app.config import Config
from tests.support.backups import brews_in, bulky, change
from tests.support.caller import Caller
from tests.support.factories import Make
from tests.support.page import form
from tests.support.server import port_of_our_own, started

KILLS = int(os.environ.get("ODDCUP_TEST_KILLS", "3"))
ROOT = Path(__file__).parents[2]

RESTORE = """
import sys
from pathlib import Path
from app.backups.restoring import restore
from app.config import Config
home = Path(sys.argv[1])
config = Config(url=f"sqlite:///{home / 'journal.db'}", home=home, secret_key="")
print("begins", flush=True)
while True:
    restore(config, Path(sys.argv[2]))
"""


@pytest.mark.servers
def test_killed_restores_leave_the_old_journal_or_the_new_one_whole(
    config: Config, file: Path, make: Make
) -> None:
    bulky(make)
    backup = back_up(config)
    make.brew()
    make._journal.dispose()
    now = back_up(config)
    moments = random.Random(8473)
    for number in range(KILLS):
        source = (backup, now)[number % 2]
        with subprocess.Popen(
            [sys.executable, "-c", RESTORE, str(config.home), str(source)],
            cwd=ROOT, stdout=subprocess.PIPE, text=True,
        ) as restorer:  # fmt: skip
            assert restorer.stdout
            restorer.stdout.readline()
            time.sleep(moments.uniform(0, 0.5))
            restorer.kill()
        assert find_damage(config) == []
        assert brews_in(file) in {12, 13}
        for copy in backups_in(config.home / "backups", ""):
            assert [each.findings for each in check_file(copy.path) if each.findings] == []
            assert brews_in(copy.path) in {12, 13}
    make.brew()  # and it goes on from there
    assert brews_in(file) in {13, 14}


def test_a_backup_of_a_newer_oddcup_is_not_put_in_place(
    config: Config, file: Path, make: Make
) -> None:
    make.brew()
    backup = back_up(config)
    assert backup
    change(backup, "UPDATE alembic_version SET version_num = '9000'")
    make._journal.dispose()
    with pytest.raises(ValueError, match="was not restored: It was written by a newer Oddcup"):
        restore(config, backup)
    assert brews_in(file) == 1


def test_a_restore_that_does_not_fit_changes_nothing(
    config: Config, file: Path, make: Make
) -> None:
    bulky(make)
    backup = back_up(config)
    make.brew()
    make._journal.dispose()
    limited = (
        "import resource, sys; resource.setrlimit(resource.RLIMIT_FSIZE, (1_000_000,) * 2)\n"
        "from app.cli import main; sys.exit(main(['--journal', *sys.argv[1:]]))"
    )
    done = subprocess.run(
        [sys.executable, "-c", limited, str(file), "restore", str(backup)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 1
    assert "is full, or refuses to be written. Nothing was changed." in done.stderr
    assert brews_in(file) == 13
    assert not list(config.home.glob("*.partial*"))


def test_nobody_opens_the_journal_while_it_is_replaced(file: Path, make: Make) -> None:
    """C11: between the look whether it is open and the rename, nothing held the journal."""
    make.brew()
    make._journal.dispose()
    with held(file):
        done = subprocess.run(
            [sys.executable, "-c",
             "import sqlite3, sys; c = sqlite3.connect(sys.argv[1], timeout=0.2)\n"
             "c.execute('INSERT INTO taster (name) VALUES (?)', ('x',))", str(file)],
            capture_output=True, text=True, check=False,
        )  # fmt: skip
    assert "database is locked" in done.stderr


@pytest.mark.servers
def test_a_server_that_is_open_restores_without_losing_what_it_said_is_saved(
    config: Config, file: Path, make: Make
) -> None:
    """Every brew that was answered with "saved" is in the journal or in what was set aside."""
    make.brew()
    backup = back_up(config)
    assert backup
    make._journal.dispose()
    port = port_of_our_own()
    acknowledged: set[str] = set()
    answers: set[int] = set()
    stop = threading.Event()
    with started(config, port):
        caller = Caller(f"http://127.0.0.1:{port}")
        offered = caller.brew_form()

        def save() -> None:
            while not stop.is_set():
                key = str(uuid4())
                try:
                    answer = caller.post("/brews/new", offered | {"entry_key": [key]})
                except (OSError, HTTPException):
                    continue
                answers.add(answer)
                if answer == 303:
                    acknowledged.add(key)

        threads = [threading.Thread(target=save) for _ in range(3)]
        for thread in threads:
            thread.start()
        time.sleep(1)
        token = form(caller.get(f"/settings/backups/{backup.name}"), holding="csrf_token")
        for _ in range(3):
            assert caller.post(f"/settings/backups/{backup.name}/restore", token) == 303
            time.sleep(0.5)
        stop.set()
        for thread in threads:
            thread.join()
        assert "set aside by a restore" in caller.get("/settings/backups/")
        assert caller.post("/brews/new", offered | {"entry_key": [str(uuid4())]}) == 303
    assert answers <= {303, 503}
    aside = [each.path for each in backups_in(config.home / "backups", "")]
    assert len([path for path in aside if path.name.startswith("before-restore")]) == 3
    found = {key for path in [*aside, file] for key in keys_in(path)}
    assert len(acknowledged) > 3
    assert acknowledged <= found
    assert find_damage(config) == []


def keys_in(file: Path) -> set[str]:
    import sqlite3
    from contextlib import closing

    with closing(sqlite3.connect(file)) as journal:
        return {key for (key,) in journal.execute("SELECT entry_key FROM brew")}


SLOW_RESTORE = """
import sys, time
from pathlib import Path
from app.backups import restoring
from app.config import Config
quick = restoring._set_aside

def slow(config, journal):
    print("held", flush=True)
    time.sleep(4)
    return quick(config, journal)

restoring._set_aside = slow
home = Path(sys.argv[1])
config = Config(url=f"sqlite:///{home / 'journal.db'}", home=home, secret_key="")
restoring.restore(config, Path(sys.argv[2]))
"""


@pytest.mark.servers
def test_a_server_does_not_start_into_a_restore(config: Config, file: Path, make: Make) -> None:
    """C11: it answered "saved" into the file that was replaced a moment later."""
    make.brew()
    backup = back_up(config)
    make.brew()
    make._journal.dispose()
    with subprocess.Popen(
        [sys.executable, "-c", SLOW_RESTORE, str(config.home), str(backup)],
        cwd=ROOT, stdout=subprocess.PIPE, text=True,
    ) as restorer:  # fmt: skip
        assert restorer.stdout
        assert restorer.stdout.readline() == "held\n"
        words = ["--journal", str(file), "serve", "--port", str(port_of_our_own())]
        refused = subprocess.run(
            [sys.executable, "-m", "app", *words],
            cwd=ROOT, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert refused.returncode == 1
        assert "is being restored from a backup" in refused.stderr
        assert restorer.wait(60) == 0
    assert brews_in(file) == 1
    assert find_damage(config) == []
