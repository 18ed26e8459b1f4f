"""A journal that is open in one Oddcup is not opened, restored or begun by another."""

from __future__ import annotations

import os
import shutil
import signal
from pathlib import Path

import pytest

from app.config import Config
from app.file.hold import holding
from app.file.lock import InUse, Lock
from tests.support.caller import Caller
from tests.support.server import port_of_our_own, started
from tests.support.serving import beside, brew_into, brews, command, run, serving


@pytest.fixture
def journal(sqlite_config: Config) -> Path:
    """A journal with one brew."""
    assert sqlite_config.sqlite_path
    brew_into(sqlite_config.sqlite_path)
    return sqlite_config.sqlite_path


@pytest.mark.parametrize("words", [["serve"], ["restore", "old.sqlite"], ["serve", "--new"]])
def test_a_second_one_says_who_has_it_open(words: list[str], journal: Path) -> None:
    """C12 and C11: the sentence names the process and where to find its pages."""
    old = journal.with_name("old.sqlite")
    shutil.copyfile(journal, old)
    with serving(journal) as server:
        code, said = run(journal, *(old if word == old.name else word for word in words))
        assert code == 1
        address = f"http://127.0.0.1:{server.port}/"
        assert said.startswith(f"oddcup: {journal} is open already at {address} (Oddcup, process")
        assert f"process {server.process.pid}, since 20" in said
        assert "\n" not in said
        assert server.save()
        server.end()
    assert brews(journal) == 2


def test_an_open_journal_can_be_backed_up_and_checked(journal: Path, tmp_path: Path) -> None:
    """C11: the lock is for those who write."""
    with serving(journal) as server:
        assert server.save()
        assert run(journal, "backup", tmp_path / "copy.sqlite")[0] == 0
        assert run(journal, "check")[0] == 0
        assert server.save()
        server.end()
    assert (brews(tmp_path / "copy.sqlite"), brews(journal)) == (2, 3)


def test_a_start_during_a_restore_says_so(journal: Path) -> None:
    """C11: what it saved used to be replaced a moment later."""
    with holding(journal, "restore"):
        code, said = run(journal, "serve")
    assert code == 1
    assert said.startswith(f"oddcup: {journal} is being restored from a backup (Oddcup, process")
    assert beside(journal) == set()


def test_a_restore_holds_the_journal_until_it_is_done(
    journal: Path, tmp_path: Path, sqlite_template: Path
) -> None:
    """C11: stopped in the middle, it still has the lock; the killed one has it no more."""
    big = tmp_path / "big.sqlite"
    shutil.copyfile(sqlite_template, big)
    brew_into(big, 20)
    restoring = command(journal, "restore", big)
    lock = journal.with_name("journal.db.lock")
    while not (lock.exists() and lock.read_text()):
        assert restoring.poll() is None, "it ended without a lock"
    restoring.send_signal(signal.SIGSTOP)
    try:
        if not lock.exists():
            pytest.skip("the restore was quicker than this machine could stop it")
        code, said = run(journal, "serve")
        assert (code, "is being restored" in said) == (1, True)
    finally:
        restoring.kill()
        restoring.communicate()
    with serving(journal) as server:
        assert server.save()
        server.end()
    assert beside(journal) - {"big.sqlite", "backups"} <= {"journal.db.partial"}


def test_a_killed_server_holds_nothing(journal: Path) -> None:
    """C12: the lock ends with the process, not with its file."""
    with serving(journal) as server:
        server.end(signal.SIGKILL)
    assert "journal.db.lock" in beside(journal)
    with serving(journal) as server:
        assert server.save()


def test_the_demo_is_shown_where_it_is_open_already(journal: Path, tmp_path: Path) -> None:
    """C12: its own lock; the button leads to the one that is open."""
    with holding(tmp_path / "demo.db", "serve") as held:
        held.lock.tell(address="http://127.0.0.1:20999/")
        with serving(journal) as server:
            page = server.caller
            form = {"csrf_token": page.brew_form()["csrf_token"]}
            assert "http://127.0.0.1:20999/" in page.post_for_page("/demo", form)


@pytest.mark.postgres
def test_several_servers_may_serve_one_postgresql_database(
    postgres_url: str, tmp_path: Path
) -> None:
    """C12: there the server keeps order."""
    config = Config(url=postgres_url, home=tmp_path, secret_key="")
    first = port_of_our_own()
    with started(config, first), started(config, first + 1):
        for port in (first, first + 1):
            assert "Oddcup" in Caller(f"http://127.0.0.1:{port}").get("/")


def test_of_many_who_want_it_one_has_it(tmp_path: Path) -> None:
    """C12: also while others give it back and remove its file."""
    journal, rounds, busy = tmp_path / "journal.db", 200, tmp_path / "busy"
    children = []
    for _ in range(4):
        child = os.fork()
        if child == 0:
            os._exit(_take_turns(journal, busy, rounds))
        children.append(child)
    ends = [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children]
    assert ends == [0, 0, 0, 0]
    assert list(tmp_path.iterdir()) == []


def _take_turns(journal: Path, busy: Path, rounds: int) -> int:
    """1 if it was ever not alone."""
    for _ in range(rounds):
        try:
            lock = Lock(journal, "serve", wait_s=30)
            busy.touch(exist_ok=False)
            busy.unlink()
            lock.release()
        except (InUse, OSError):
            return 1
    return 0
