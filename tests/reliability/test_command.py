"""The `oddcup` command answers in sentences and with an exit code, never with a traceback."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from app.cli import main
from app.config import Config
from app.serving import free_port, make_server
from tests.support.factories import Make
from tests.support.server import let_ctrl_c_through, port_of_our_own

ROOT = Path(__file__).parents[2]


def _said(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, str]:
    code = main([str(word) for word in words])
    written = capsys.readouterr()
    return code, (written.out + written.err).strip()


def test_a_journal_goes_round_by_backup_and_restore(
    sqlite_config: Config, make: Make, capsys: pytest.CaptureFixture[str]
) -> None:
    make.brew()
    make._journal.dispose()
    journal = sqlite_config.sqlite_path
    assert journal
    code, kept = _said(capsys, "--journal", journal, "backup")
    assert code == 0
    assert Path(kept).exists()
    code, said = _said(capsys, "--journal", journal, "restore", kept)
    assert code == 0
    assert "The journal that was there is kept at" in said
    code, said = _said(capsys, "--journal", journal, "check")
    assert code == 0
    assert said.endswith(f"{journal} is sound, as far as these checks go.")


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["check"], "There is no journal at"),
        (["backup"], "There is no journal at"),
        (["restore", "nothing.db"], "There is no backup at nothing.db."),
    ],
)
def test_a_missing_file_is_said(
    words: list[str], sentence: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, said = _said(capsys, "--journal", tmp_path / "none.db", *words)
    assert code == 1
    assert said.startswith(f"oddcup: {sentence}")
    assert not (tmp_path / "none.db").exists()


def test_damage_is_said_and_told_by_the_exit_code(
    sqlite_config: Config, capsys: pytest.CaptureFixture[str]
) -> None:
    assert sqlite_config.sqlite_path
    sqlite_config.sqlite_path.write_bytes(b"spilled coffee" * 1000)
    code, said = _said(capsys, "--journal", sqlite_config.sqlite_path, "check")
    assert code == 1
    assert said.startswith("Structure: It is not a sound journal")
    assert said.endswith("is not sound.")


@pytest.mark.parametrize("command", ["serve", "demo"])
def test_a_file_that_is_no_journal_is_not_opened(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "letter.txt").write_text("Dear aunt, " * 500)
    code, said = _said(capsys, "--journal", tmp_path / "letter.txt", command)
    assert code == 1
    assert said.startswith("oddcup: The journal could not be opened")
    assert (tmp_path / "letter.txt").read_text() == "Dear aunt, " * 500


@pytest.mark.parametrize("command", ["serve", "demo"])
@pytest.mark.parametrize("port", ["0", "65536", "-1", "coffee", "٨٠٨٠"])
def test_a_port_that_is_none_is_refused(
    command: str, port: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command, f"--port={port}"]) == 2
    assert "a port is a number from 1 to 65535" in capsys.readouterr().err


@pytest.mark.parametrize(
    "words", [[], ["brew"], ["restore"], ["check", "now"], ["backup", "a.db", "b.db"]]
)
def test_words_that_are_no_command_are_answered_with_the_usage(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    assert capsys.readouterr().err.startswith("Usage: oddcup ")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ([], ["serve", "demo", "backup", "restore", "check", "--journal"]),
        (["serve"], ["Open the journal on this machine.", "--port", "--lan [ADDRESS]"]),
        (["demo"], ["Open an invented household in a file of its own.", "--port"]),
        (["backup"], ["Copy the journal into one file.", "[TO]"]),
        (["restore"], ["Put a backup in the journal's place.", "FILE"]),
        (["check"], ["Look the journal over for damage."]),
    ],
)
@pytest.mark.parametrize("asked", ["-h", "--help"])
def test_every_command_has_its_own_help(
    words: list[str], told: list[str], asked: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code, said = _said(capsys, *words, asked)
    assert code == 0
    assert said.startswith(" ".join(["Usage: oddcup", *words]))
    assert [part for part in told if part not in said] == []


@pytest.mark.parametrize(
    ("words", "asked_for"), [([], None), (["--lan"], ""), (["--lan", "kitchen"], "kitchen")]
)
def test_lan_is_said_with_an_address_or_without(
    words: list[str],
    asked_for: str | None,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    asked = []

    def look_for(address: str) -> list[str]:
        asked.append(address)
        raise ValueError("no network here")

    monkeypatch.setattr("app.cli.lan_addresses", look_for)
    (tmp_path / "letter.txt").write_text("Dear aunt, " * 500)
    code, _ = _said(capsys, "--journal", tmp_path / "letter.txt", "serve", *words, "--port", 9000)
    assert code == 1
    assert asked == ([] if asked_for is None else [asked_for])


def test_python_runs_the_app_by_its_name(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "app", "--journal", str(tmp_path / "none.db"), "check"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert done.stderr == f"oddcup: There is no journal at {tmp_path / 'none.db'}.\n"


def test_ctrl_c_closes_it_in_silence(sqlite_config: Config) -> None:
    let_ctrl_c_through()
    words = ["--journal", str(sqlite_config.sqlite_path), "serve", "--port", str(port_of_our_own())]
    with subprocess.Popen(
        [sys.executable, "-m", "app", *words],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as server:
        assert server.stdout
        assert server.stdout.readline().startswith("Oddcup is open at ")
        assert server.stdout.readline().startswith("Journal: ")
        server.send_signal(signal.SIGINT)
        assert server.communicate(timeout=60) == ("", "")
        assert server.returncode == 0


def test_a_port_that_is_taken_is_passed_over() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        wanted = taken.getsockname()[1]
        assert wanted < free_port(wanted) <= wanted + 20


def test_the_server_listens_to_this_machine_only(sqlite_config: Config) -> None:
    server, port, _ = make_server(sqlite_config)
    try:
        assert server.here.socket.getsockname() == ("127.0.0.1", port)
        assert server.network._doors == []
    finally:
        server.close()
        server.task_dispatcher.shutdown()


def test_a_journal_on_a_server_is_left_to_the_servers_tools(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("ODDCUP_DATABASE_URL", "postgresql+psycopg://nobody@/nothing")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    backup = tmp_path / "a.db"
    assert "pg_dump" in _said(capsys, "backup")[1]
    assert "pg_restore" in _said(capsys, "restore", backup)[1]
    assert "PostgreSQL checks its own" in _said(capsys, "check")[1]
