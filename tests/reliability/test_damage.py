"""A damaged journal opens for reading, says what can be read and how to restore, and is left alone.

With -s the table of what the user sees is printed.
"""

from __future__ import annotations

import shutil
import signal
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from app import create_app
from app.backups.copying import back_up
from app.backups.restoring import restore
from app.config import Config
from app.database import Database
from app.health import look
from tests.support import page
from tests.support.caller import Caller
from tests.support.damage import IN_LOG, KINDS, log_of
from tests.support.factories import Make
from tests.support.household import furnish
from tests.support.server import port_of_our_own, started

BREWS, IN_BACKUP, LATER = 60, 63, 4


@pytest.fixture(scope="module")
def household(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A journal of some hundred pages with a backup beside it, and as a kill left it: four more
    brews in its log."""
    home = tmp_path_factory.mktemp("household")
    shutil.copyfile(sqlite_template, home / "journal.db")
    config = _config(home)
    database = Database(config.url)
    make = Make(database)
    furnish(make, brews=BREWS)
    for _ in range(IN_BACKUP - BREWS):
        make.brew(note="in the backup")
    backup = back_up(config)
    assert backup
    database.dispose()
    (home / "killed").mkdir()
    shutil.copyfile(home / "journal.db", home / "killed" / "journal.db")
    database = Database(f"sqlite:///{home / 'killed' / 'journal.db'}")
    later = Make(database)
    later._entries = later._brews = 1000
    for _ in range(LATER):
        later.brew(note="kept in the log only")
    shutil.copyfile(home / "killed" / "journal.db-wal", home / "killed" / "log")
    database.dispose()
    shutil.copyfile(home / "journal.db", home / "killed" / "journal.db")
    (home / "killed" / "log").rename(home / "killed" / "journal.db-wal")
    return home


@pytest.fixture
def config(household: Path, tmp_path: Path) -> Config:
    shutil.copytree(household / "backups", tmp_path / "backups")
    shutil.copyfile(household / "journal.db", tmp_path / "journal.db")
    return _config(tmp_path)


@pytest.fixture(scope="module")
def table() -> Iterator[list[str]]:
    """What was seen, printed at the end."""
    lines: list[str] = []
    yield lines
    print("\n" + "\n".join(lines))


def _config(home: Path) -> Config:
    return Config(url=f"sqlite:///{home / 'journal.db'}", home=home, secret_key="tests")  # noqa: S106


def _damage(kind: str, config: Config, household: Path) -> Path:
    journal = config.sqlite_path
    assert journal
    if kind in IN_LOG:
        for name in ("journal.db", "journal.db-wal"):
            shutil.copyfile(household / "killed" / name, config.home / name)
    KINDS[kind](journal)
    return journal


def _bytes(journal: Path) -> tuple[bytes, bytes]:
    log = log_of(journal)
    return journal.read_bytes(), log.read_bytes() if log.exists() else b""


def _client(config: Config) -> FlaskClient:
    app = create_app(config)
    app.config.update(WTF_CSRF_ENABLED=False)
    return app.test_client()


@pytest.mark.parametrize("kind", KINDS)
def test_a_damaged_journal_is_read_where_it_can_be_and_never_written(
    kind: str, config: Config, household: Path, table: list[str]
) -> None:
    """C6: twelve kinds of damage."""
    journal = _damage(kind, config, household)
    before = _bytes(journal)
    client = _client(config)
    pages = {path: client.get(path) for path in ("/", "/brews/", "/bags/", "/settings")}
    told = client.get("/journal-file")
    saved = client.post(
        "/questions/new", data={"text": "Is a finer grind sweeter?", "factor": "grind"}
    )
    assert {answer.status_code for answer in pages.values()} <= {200, 500}
    for answer in pages.values():
        assert "damaged" in page.text(answer.text)
        assert "safe" not in answer.text.lower()
    assert told.status_code == 503
    says = page.text(told.text)
    (backup,) = (config.home / "backups").glob("*.db")
    assert f"oddcup --journal {journal} restore {backup}" in says
    assert saved.status_code in {500, 503}
    assert "Nothing of this was saved." in page.text(saved.text)
    assert page.form(saved.text, holding="text")["text"] == ["Is a finer grind sweeter?"]
    assert saved.headers["Retry-After"] or saved.status_code == 500
    assert _bytes(journal) == before
    _close(client)
    assert _bytes(journal) == before
    health = look(config)
    assert health
    open_now = sum(answer.status_code == 200 for answer in pages.values())
    table.append(
        f"{kind:24} pages read {open_now} of 4, brews {health.brews:3}, "
        f"saving {saved.status_code}: {health.findings[0][:70]}"
    )


def _close(client: FlaskClient) -> None:
    client.application.extensions["oddcup_database"].dispose()


@pytest.mark.parametrize("kind", KINDS)
def test_the_command_on_the_page_brings_back_the_backup(
    kind: str, config: Config, household: Path
) -> None:
    """C6: what the page says works, and the damaged file is set aside."""
    journal = _damage(kind, config, household)
    before = journal.read_bytes()
    health = look(config)
    assert health
    assert health.backup
    aside = restore(config, health.backup)
    assert look(config) is None
    with closing(sqlite3.connect(journal)) as opened:
        assert opened.execute("SELECT count(*) FROM brew").fetchone() == (IN_BACKUP,)
    assert aside
    assert len(aside.read_bytes()) >= len(before) or kind in IN_LOG


@pytest.mark.parametrize(
    ("kind", "brews", "every_row"),
    [
        ("index page garbled", IN_BACKUP, True),
        ("free pages garbled", IN_BACKUP, True),
        ("table missing", IN_BACKUP, False),
        ("revision missing", IN_BACKUP, True),
        ("header overwritten", 0, False),
        ("schema page garbled", 0, False),
        ("text in its place", 0, False),
    ],
)
def test_the_page_counts_what_can_be_read(
    kind: str, brews: int, every_row: bool, config: Config, household: Path
) -> None:
    """C6: readable brews are counted, and damage that costs no row is told as such."""
    _damage(kind, config, household)
    says = page.text(_client(config).get("/journal-file").text)
    assert ("Every row can be read" in says) == every_row
    assert (
        f"What can be read {f'Every row can be read, {brews} brews' if every_row else ''}" in says
    )
    assert ("Table by table" in says) == bool(brews)
    assert (f"{brews} brews" in says) == bool(brews)


def test_brews_on_both_sides_of_a_lost_page_can_be_read(config: Config) -> None:
    """C6: reading goes on past the damaged place."""
    assert config.sqlite_path
    KINDS["page of brews zeroed"](config.sqlite_path)
    health = look(config)
    assert health
    assert IN_BACKUP // 2 < health.brews < IN_BACKUP


@pytest.mark.parametrize("kind", IN_LOG)
def test_a_log_that_does_not_fit_is_told_and_can_be_left_out(
    kind: str, config: Config, household: Path
) -> None:
    """C1, C6: SQLite would take such a log in silence, or lose its end in silence."""
    journal = _damage(kind, config, household)
    says = page.text(_client(config).get("/journal-file").text)
    assert f"mv {journal}-wal {journal}-wal.damaged" in says


def test_the_log_of_a_killed_program_is_no_damage(config: Config, household: Path) -> None:
    for name in ("journal.db", "journal.db-wal"):
        shutil.copyfile(household / "killed" / name, config.home / name)
    assert look(config) is None
    log = config.home / "journal.db-wal"
    log.write_bytes(log.read_bytes()[:-2000])  # the last transaction, torn by a power cut
    assert look(config) is None


@pytest.mark.parametrize("kind", ["table missing", *IN_LOG])
def test_serve_opens_a_damaged_journal_for_reading_and_leaves_it_as_it_was(
    kind: str, config: Config, household: Path
) -> None:
    """C6: a real process, from its start to Ctrl+C."""
    journal = _damage(kind, config, household)
    before = _bytes(journal)
    port = port_of_our_own()
    first = "The journal is damaged and is opened for reading only:"
    with started(config, port, first=first) as server:
        caller = Caller(f"http://127.0.0.1:{port}")
        assert "The journal is damaged" in caller.get("/gear/")
        server.send_signal(signal.SIGINT)
        server.wait(60)
    assert _bytes(journal) == before


def test_damage_that_comes_while_it_is_open_is_found_by_the_page_that_meets_it(
    config: Config, tmp_path: Path
) -> None:
    """C6: from the first failing page on nothing is saved."""
    client = _client(config)
    assert client.get("/").status_code == 200
    assert config.sqlite_path
    with config.sqlite_path.open("r+b") as file:
        file.write(b"spilled coffee! " * 7)
    _close(client)  # what SQLite holds in memory is still sound
    assert client.get("/brews/").status_code == 500
    refused = client.post("/questions/new", data={"text": "Finer?", "factor": "grind"})
    assert refused.status_code == 503
    assert "The journal is damaged" in page.text(refused.text)


def test_a_new_day_looks_again(config: Config) -> None:
    """C6: damage that no page meets is found at the first page of the next day."""
    from datetime import UTC, datetime

    client = _client(config)
    client.application.config["CLOCK"] = lambda: datetime(2026, 9, 15, 12, tzinfo=UTC)
    assert client.get("/bags/").status_code == 200
    assert config.sqlite_path
    with closing(sqlite3.connect(config.sqlite_path)) as journal:
        journal.execute("DROP TABLE step")
    assert "The journal is damaged" not in client.get("/bags/").text
    client.application.config["CLOCK"] = lambda: datetime(2026, 9, 16, 7, tzinfo=UTC)
    assert "The journal is damaged" in client.get("/bags/").text
