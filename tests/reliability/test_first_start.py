"""A journal that is missing is asked about; a start that cannot be says why, in one sentence."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
from pathlib import Path

import pytest

from app.config import Config
from tests.support.serving import BOUND_BY_MODES, beside, brew_into, brews, command, run, serving

AS_OWNER = BOUND_BY_MODES if os.geteuid() == 0 else ()


@pytest.fixture
def journal(sqlite_config: Config) -> Path:
    """A journal with three brews that was served and closed, and its backup."""
    path = sqlite_config.sqlite_path
    assert path
    brew_into(path, 3)
    with serving(path) as server:
        server.end()
    assert run(path, "backup")[0] == 0
    return path


def _delete(journal: Path) -> None:
    journal.unlink()


def _empty(journal: Path) -> None:
    journal.write_bytes(b"")


@pytest.mark.parametrize("go", [_delete, _empty])
def test_a_lost_journal_is_asked_about_and_brought_back(go, journal: Path) -> None:
    """C5: a new, empty one was begun without a word."""
    go(journal)
    [backup] = (journal.parent / "backups").glob("*.db")
    before = sorted(journal.parent.rglob("*"))
    code, said = run(journal, "serve")
    assert code == 1
    assert said.startswith(f"oddcup: {journal} is ")
    assert f"the newest backup, 0 hours old and with 3 brews, is {backup}" in said
    assert f"oddcup --journal {journal} restore {backup}" in said
    assert f"oddcup --journal {journal} serve --new" in said
    assert sorted(journal.parent.rglob("*")) == before
    assert run(journal, "restore", backup)[0] == 0
    with serving(journal) as server:
        assert server.save()
        server.end()
    assert brews(journal) == 4


@pytest.mark.parametrize("trace", ["secret.key", "backups/a.db", "before-restore-1.db"])
@pytest.mark.parametrize("go", [_delete, _empty])
def test_each_trace_of_a_journal_is_enough_to_ask(go, trace: str, journal: Path) -> None:
    """C5: whatever of it is left."""
    home = journal.parent
    kept = home / trace
    shutil.rmtree(home / "backups")
    kept.parent.mkdir(exist_ok=True)
    (home / "secret.key").rename(kept)
    go(journal)
    code, said = run(journal, "serve")
    assert code == 1
    assert "there was a journal here" in said
    assert trace in said
    assert not journal.exists() or journal.read_bytes() == b""


@pytest.mark.parametrize("trace", ["journal.db.lock", "journal.db-wal"])
def test_what_a_killed_server_left_is_enough_to_ask(trace: str, tmp_path: Path) -> None:
    """C5: the journal was deleted, and what stood beside it was not."""
    path = tmp_path / "journal.db"
    with serving(path) as server:
        server.caller.get("/")
        server.end(signal.SIGKILL)
    if trace == "journal.db-wal":
        (tmp_path / trace).write_bytes(b"a log" * 1000)
    for other in (path, tmp_path / "secret.key"):
        other.unlink()
    for other in {"journal.db.lock", "journal.db-wal"} - {trace}:
        (tmp_path / other).unlink()
    code, said = run(path, "serve")
    assert code == 1
    assert "there was a journal here" in said
    assert run(path, "serve")[0] == 1
    assert not path.exists()


def test_a_new_journal_is_begun_when_that_is_asked_for(journal: Path) -> None:
    """C5: and one that is there is never begun anew."""
    code, said = run(journal, "serve", "--new")
    assert (code, "is there already" in said) == (1, True)
    assert brews(journal) == 3
    journal.unlink()
    with serving(journal, "--new") as server:
        server.end()
    assert brews(journal) == 0


def test_a_first_start_says_nothing_more_than_where_it_is(tmp_path: Path) -> None:
    """C5: nobody is asked who never had a journal; the other commands make nothing at all."""
    path = tmp_path / "new" / "folder" / "journal.db"
    for words in (["check"], ["backup"], ["restore", "nothing.db"]):
        assert run(path, *words)[0] == 1
    assert list(tmp_path.iterdir()) == []
    with serving(path) as server:
        assert server.said.splitlines() == [
            f"Oddcup is open at http://127.0.0.1:{server.port}/",
            f"Journal: {path}. Ctrl+C closes it.",
        ]
        server.end()
    assert beside(path) == set()


def test_who_looked_at_the_demo_first_is_not_asked(tmp_path: Path, sqlite_template: Path) -> None:
    """C5: the demo leaves no trace of a journal."""
    shutil.copyfile(sqlite_template, tmp_path / "demo.db")
    demo = command(tmp_path / "demo.db", "demo", "--port", 21_777)
    assert demo.stdout
    assert "Oddcup is open" in demo.stdout.readline()
    demo.send_signal(signal.SIGTERM)
    demo.communicate()
    with serving(tmp_path / "journal.db") as server:
        server.end()


def _check_first_start(path: Path, *told: str) -> None:
    before = sorted(path.parent.rglob("*"))
    code, said = run(path, "serve", before=AS_OWNER)
    assert code == 1
    assert said.startswith("oddcup: ")
    assert "\n" not in said
    for part in (str(path), *told):
        assert part in said
    assert sorted(path.parent.rglob("*")) == before


def test_a_folder_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "closed").mkdir(mode=0o555)
    _check_first_start(tmp_path / "closed" / "journal.db", "Let this account read and write it")


def test_a_journal_that_cannot_be_read_is_said(tmp_path: Path, sqlite_template: Path) -> None:
    journal = tmp_path / "journal.db"
    shutil.copyfile(sqlite_template, journal)
    journal.chmod(0o000)
    _check_first_start(journal, "Let this account read and write it")


def test_a_folder_as_journal_is_said(tmp_path: Path) -> None:
    (tmp_path / "journal.db").mkdir()
    _check_first_start(tmp_path / "journal.db", "It is a folder: name a file with --journal.")


def test_a_file_as_the_journals_folder_is_said(tmp_path: Path) -> None:
    (tmp_path / "notes").write_text("Dear aunt")
    code, said = run(tmp_path / "notes" / "journal.db", "serve")
    assert code == 1
    assert "A part of its name is a file, not a folder" in said
    assert "\n" not in said


@pytest.mark.parametrize("room_kb", [0, 8, 64, 200])
def test_a_full_disk_is_said_and_no_empty_file_is_left(room_kb: int, tmp_path: Path) -> None:
    """C8: it was 60 lines of traceback and a file of 0 bytes."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mounting = ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(disk)]
    if os.geteuid() != 0 or subprocess.run(mounting, check=False).returncode:
        pytest.skip("a small disk needs root")
    try:
        filled = 1024 - room_kb
        (disk / "filling").write_bytes(b"x" * 1024 * filled)
        code, said = run(disk / "journal.db", "serve")
        assert code == 1
        assert said.count("\n") == 0
        assert str(disk) in said
        assert "The disk is full: make room on it" in said
        assert [path.name for path in disk.iterdir()] == ["filling"]
    finally:
        subprocess.run(["umount", str(disk)], check=True)


@pytest.mark.parametrize("content", [b"", b" \n", b"\x00\xff" * 40, b"short", "clé".encode() * 20])
def test_a_damaged_secret_key_is_replaced(content: bytes, tmp_path: Path) -> None:
    """C24: an empty one made every page with a form a 500."""
    path = tmp_path / "journal.db"
    with serving(path) as server:
        server.end()
    (tmp_path / "secret.key").write_bytes(content)
    brew_into(path)
    with serving(path) as server:
        assert server.save()
        server.end()
    assert len((tmp_path / "secret.key").read_text()) == 64


def test_a_good_secret_key_is_kept(tmp_path: Path) -> None:
    """C24: a form left open overnight can still be sent."""
    path = tmp_path / "journal.db"
    keys = set()
    for _ in range(2):
        with serving(path) as server:
            server.end()
        keys.add((tmp_path / "secret.key").read_text())
    assert len(keys) == 1


def test_a_secret_key_that_is_a_folder_is_said(tmp_path: Path) -> None:
    """C24: in one sentence with its name."""
    (tmp_path / "secret.key").mkdir()
    (tmp_path / "secret.key" / "something").touch()
    code, said = run(tmp_path / "journal.db", "serve", "--new")
    assert code == 1
    assert f"{tmp_path / 'secret.key'} could not be used (Is a directory)" in said
    assert "\n" not in said
