"""A journal may have any file name, and its files are for their owner only."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from app.config import Config, from_environment, sqlite_url
from app.file.sqlite_version import sqlite_remark
from tests.support.server import ROOT, port_of_our_own
from tests.support.serving import OPEN, beside, brew_into, brews, command, run, serving

NAMES = [
    "jour?nal.db", "%41.db", "a#b 100% é 珈琲.db", "file:journal.db", ":memory:", "?mode=memory",
    "a&b=c+d@e.db", "quo'te\".db", "journal",
]  # fmt: skip


@pytest.mark.parametrize("name", NAMES[:5])
def test_a_journal_may_have_any_name(name: str, tmp_path: Path) -> None:
    """C17: `jour?nal.db` was written to `jour`, `%41.db` to `A.db`."""
    journal = tmp_path / "a folder? 100%" / name
    with serving(journal) as server:
        server.end()
    brew_into(journal)
    with serving(journal) as server:
        assert server.save()
        server.end()
    assert beside(journal) == set()
    assert brews(journal) == 2
    code, said = run(journal, "backup")
    assert (code, Path(said).exists()) == (0, True)
    assert run(journal, "restore", said)[0] == 0
    assert run(journal, "check")[0] == 0
    assert brews(journal) == 2


def test_the_demo_may_have_any_name(tmp_path: Path, sqlite_template: Path) -> None:
    """C17: the demo too."""
    demo = tmp_path / "de?mo %41.db"
    demo.write_bytes(sqlite_template.read_bytes())
    with command(demo, "demo", "--port", port_of_our_own()) as process:
        assert process.stdout
        assert any(OPEN in line for line in iter(process.stdout.readline, ""))
        process.terminate()
    assert beside(demo) == {"demo.key"}


def test_a_name_that_is_no_text_is_said(tmp_path: Path) -> None:
    """C17: a file name may be bytes that no text has."""
    code, said = run(Path(os.fsdecode(os.fsencode(tmp_path) + b"/caf\xe9.db")), "serve")
    assert code == 1
    assert "is not text; rename it." in said


def test_addresses_name_the_same_file_both_ways(tmp_path: Path) -> None:
    """C17: what is served is what is backed up."""
    for name in NAMES:
        config = from_environment(tmp_path / name)
        assert config.sqlite_path == tmp_path / name
        assert Config(sqlite_url(tmp_path / name), tmp_path, "").sqlite_path == tmp_path / name


def _mode(path: Path) -> int:
    return path.stat().st_mode & 0o777


def test_what_oddcup_makes_is_for_its_owner_only(tmp_path: Path) -> None:
    """C16: other accounts of the machine could read it."""
    journal = tmp_path / "home" / "journal.db"
    with serving(journal) as server:
        server.caller.get("/")
        live = {path.name: _mode(path) for path in journal.parent.iterdir()}
        assert run(journal, "backup")[0] == 0
        server.end()
    assert live.pop("pages") == 0o700
    assert set(live) == {journal.name, *(f"{journal.name}{t}" for t in ("-wal", "-shm", ".lock")),
                         "secret.key"}  # fmt: skip
    assert set(live.values()) == {0o600}
    [backup] = (journal.parent / "backups").glob("*backup*.db")
    assert run(journal, "restore", backup)[0] == 0
    files = [path for path in tmp_path.rglob("*") if path.is_file() and path.parent.name != "pages"]
    assert {_mode(path) for path in files} == {0o600}
    assert _mode(journal.parent) == _mode(journal.parent / "backups") == 0o700


def test_oddcups_own_folder_is_closed_and_others_are_left_as_they_are(tmp_path: Path) -> None:
    """C16: a folder that holds other things too is not ours to close."""
    own, other = tmp_path / "oddcup", tmp_path / "other"
    for folder in (own, other):
        folder.mkdir()
        folder.chmod(0o755)
    with serving(other / "journal.db") as server:
        server.end()
    assert _mode(other) == 0o755
    there = os.environ | {"XDG_DATA_HOME": str(tmp_path), "ODDCUP_DATABASE_URL": ""}
    words = [sys.executable, "-m", "app", "serve", "--port", str(port_of_our_own())]
    with subprocess.Popen(words, cwd=ROOT, env=there, stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout
        server.stdout.readline()
        server.terminate()
    assert _mode(own) == 0o700


@pytest.mark.parametrize(
    ("version", "is_told"),
    [
        ((3, 40, 1), True),
        ((3, 51, 2), True),
        ((3, 51, 3), False),
        ((3, 51, 9), False),
        ((3, 52, 0), True),
        ((3, 53, 0), False),
        ((4, 0, 0), False),
    ],
)
def test_a_sqlite_with_a_known_fault_is_named(version: tuple[int, int, int], is_told: bool) -> None:
    """C23: mended in 3.51.3 and 3.53.0, as SQLite's list of changes says."""
    remark = sqlite_remark(version)
    assert bool(remark) == is_told
    assert ".".join(map(str, version)) in remark or not is_told


def test_check_names_it_and_calls_the_journal_sound(sqlite_config: Config) -> None:
    """C23: it is no damage, so the exit code is that of a sound journal."""
    assert sqlite_config.sqlite_path
    code, said = run(sqlite_config.sqlite_path, "check")
    remark = sqlite_remark(sqlite3.sqlite_version_info)
    *checks, last = said.splitlines()
    assert (code, remark in checks or not remark) == (0, True)
    assert last.startswith(f"{sqlite_config.sqlite_path} is sound")
