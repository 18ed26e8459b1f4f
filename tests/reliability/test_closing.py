"""After closing there is one file with everything in it: it can be copied and put back by hand."""

from __future__ import annotations

import shutil
import signal
import socket
from pathlib import Path

import pytest

from app.config import Config
from tests.support.serving import beside, brew_into, brews, run, serving

ENDINGS = [signal.SIGINT, signal.SIGTERM, signal.SIGHUP]


@pytest.fixture
def journal(sqlite_config: Config) -> Path:
    """A journal with one brew."""
    assert sqlite_config.sqlite_path
    brew_into(sqlite_config.sqlite_path)
    return sqlite_config.sqlite_path


@pytest.mark.parametrize("how", ENDINGS, ids=lambda how: how.name)
def test_after_closing_the_file_alone_holds_every_brew(how: signal.Signals, journal: Path) -> None:
    """C1: Ctrl+C, a stopped service, a closed terminal window."""
    with serving(journal) as server:
        assert all(server.save() for _ in range(5))
        assert server.end(how) == (0, "")
    assert beside(journal) == set()
    assert brews(journal) == 6


def test_a_start_that_fails_leaves_nothing_beside_the_journal(journal: Path) -> None:
    """C1: here because the port is taken and it is the last."""
    with socket.socket() as taken:
        taken.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        taken.bind(("127.0.0.1", 65535))
        taken.listen()
        code, said = run(journal, "serve", "--port", 65535)
    assert (code, said) == (1, "oddcup: No free port from 65535 on; name another with --port.")
    assert beside(journal) == set()


def test_what_a_killed_server_left_is_cleared_up_by_the_next(journal: Path) -> None:
    """C1: nothing acknowledged is lost by it."""
    with serving(journal) as server:
        assert server.save()
        server.end(signal.SIGKILL)
    assert "journal.db-wal" in beside(journal)
    with serving(journal) as server:
        assert server.save()
        server.end()
    assert beside(journal) == set()
    assert brews(journal) == 3


@pytest.mark.parametrize("words", [["check"], ["backup", "copy.sqlite"], ["restore", "old.sqlite"]])
@pytest.mark.parametrize("killed", [False, True])
def test_no_command_leaves_anything_beside_the_journal(
    words: list[str], killed: bool, journal: Path, tmp_path: Path
) -> None:
    """C1: neither after a clean end nor after a server was killed."""
    old = tmp_path / "old.sqlite"
    shutil.copyfile(journal, old)
    if killed:
        with serving(journal) as server:
            assert server.save()
            server.end(signal.SIGKILL)
    code, said = run(journal, words[0], *(tmp_path / word for word in words[1:]))
    assert code == 0, said
    assert beside(journal) - {"old.sqlite", "copy.sqlite", "backups"} == set()


def test_a_copy_put_back_by_hand_after_closing_is_what_is_opened(
    journal: Path, tmp_path: Path
) -> None:
    """C1: its log used to be written over it, 72 brews for 32."""
    older = tmp_path / "older.sqlite"
    with serving(journal) as server:
        assert server.save()
        server.end()
    shutil.copyfile(journal, older)
    with serving(journal) as server:
        assert all(server.save() for _ in range(3))
        server.end()
    shutil.copyfile(older, journal)
    with serving(journal) as server:
        server.end()
    assert brews(journal) == 2


@pytest.mark.parametrize("source", ["closed", "backup", "elsewhere", "renamed"])
def test_a_journal_put_over_one_whose_server_was_killed_stays_as_it_is(
    source: str, journal: Path, tmp_path: Path, sqlite_template: Path
) -> None:
    """C1: the log left by the killed server is kept aside, and that is said."""
    put = tmp_path / "put.sqlite"
    shutil.copyfile(sqlite_template if source == "elsewhere" else journal, put)
    with serving(journal) as server:
        if source == "backup":
            put.unlink()
            assert run(journal, "backup", put)[0] == 0
        assert all(server.save() for _ in range(3))
        server.end(signal.SIGKILL)
    expected = brews(put)
    if source == "renamed":
        journal.rename(tmp_path / "away.sqlite")
    shutil.copyfile(put, journal)
    code, said = run(journal, "check")
    assert code == 1
    assert "does not belong to the journal beside it" in said
    with serving(journal) as server:
        assert "The journal was replaced after Oddcup had been killed." in server.said
        server.end()
    assert brews(journal) == expected
    assert run(journal, "check")[0] == 0
    assert len(list((tmp_path / "backups").glob("left-over-*"))) == 1


def test_a_journal_moved_with_its_log_after_a_kill_is_whole(journal: Path, tmp_path: Path) -> None:
    """C1: this log does belong to it."""
    with serving(journal) as server:
        assert server.save()
        server.end(signal.SIGKILL)
    there = tmp_path / "there"
    there.mkdir()
    for path in tmp_path.glob("journal.db*"):
        shutil.copyfile(path, there / path.name)
    with serving(there / "journal.db") as server:
        server.end()
    assert brews(there / "journal.db") == 2
