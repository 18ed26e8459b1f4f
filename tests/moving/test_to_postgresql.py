"""`oddcup copy-to postgresql://...` and back."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import create_engine, inspect, make_url, text
from sqlalchemy.exc import DBAPIError

from app.config import Config, from_environment, sqlite_url
from app.database import Database
from app.moving.copying import move
from app.moving.target import config_of
from app.schema import upgrade
from app.seals import seals_of
from tests.migrations.rows import read_rows
from tests.moving.reading import triggers
from tests.support import postgres
from tests.support.factories import Make
from tests.support.server import ROOT

pytestmark = pytest.mark.postgres


@pytest.fixture
def empty(postgres_server: str) -> Iterator[str]:
    """The address of a database without tables."""
    with postgres.database(postgres_server) as url:
        yield url


def silent(_line: str) -> None:
    pass


def tables(url: str) -> list[str]:
    engine = create_engine(url)
    found = inspect(engine).get_table_names()
    engine.dispose()
    return found


def test_there_and_back_nothing_changes(
    source: Config, empty: str, postgres_url: str, tmp_path: Path
) -> None:
    there, back = config_of(empty, source), config_of(str(tmp_path / "back.db"), source)
    move(source, there, silent)
    move(there, back, silent)
    assert read_rows(source.url) == read_rows(there.url) == read_rows(back.url)
    assert triggers(there.url) == triggers(postgres_url) != []
    assert triggers(back.url) == triggers(source.url)
    again = config_of(postgres_url, source)  # an empty journal, not an empty database
    move(back, again, silent)
    assert read_rows(again.url) == read_rows(source.url)


def test_a_moved_journal_is_gone_on_with_and_not_moved_over(
    source: Config, postgres_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    seals_of(source).note_steps("a-test", 7)
    there = config_of(postgres_url, source)
    move(source, there, silent)
    monkeypatch.setenv("ODDCUP_DATABASE_URL", postgres_url.replace("+psycopg", ""))
    assert seals_of(from_environment()).read().steps == {"a-test": 7}
    before = read_rows(postgres_url)
    with pytest.raises(RuntimeError, match="holds a journal already"):
        move(source, there, silent)
    assert read_rows(postgres_url) == before
    journal = Database(postgres_url)
    assert Make(journal).bean().id == max(row["id"] for row in before["bean"]) + 1
    engine = create_engine(postgres_url)
    with engine.connect() as connection, pytest.raises(DBAPIError, match="cannot be deleted"):
        connection.execute(text("DELETE FROM trial"))
    engine.dispose()
    journal.dispose()


def test_an_older_empty_journal_is_brought_up_to_date_first(source: Config, empty: str) -> None:
    upgrade(empty, "0012")
    move(source, config_of(empty, source), silent)
    assert read_rows(empty) == read_rows(source.url)


def test_a_value_postgresql_does_not_take_leaves_an_empty_database(
    source: Config, empty: str
) -> None:
    assert source.sqlite_path
    journal = Database(source.url)
    with journal.writing() as session:
        session.execute(text("UPDATE bean SET note = 'a' || char(0) || 'b' WHERE id = 1"))
    journal.dispose()
    with pytest.raises(RuntimeError, match=r"table bean.*does not take"):
        move(source, config_of(empty, source), silent)
    assert tables(empty) == []


def test_a_user_without_rights_is_told(source: Config, empty: str) -> None:
    engine = create_engine(empty)
    name = make_url(empty).database
    with engine.begin() as connection:
        connection.execute(text(f'CREATE ROLE "{name}" LOGIN'))
        connection.execute(text("REVOKE CREATE ON SCHEMA public FROM PUBLIC"))
    url = make_url(empty).set(username=name).render_as_string()
    with pytest.raises(RuntimeError, match="let it own the database"):
        move(source, config_of(url, source), silent)
    with engine.begin() as connection:
        connection.execute(text(f'DROP ROLE "{name}"'))
    engine.dispose()


def test_a_missing_database_and_a_missing_driver_are_told(
    source: Config, empty: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    missing = make_url(empty).set(database="not_there").render_as_string()
    with pytest.raises(RuntimeError, match='"not_there" does not exist'):
        move(source, config_of(missing, source), silent)
    monkeypatch.setitem(sys.modules, "psycopg", None)
    with pytest.raises(RuntimeError, match=r"install oddcup\[postgres\]"):
        move(source, config_of(empty, source), silent)


@pytest.mark.parametrize("to_postgresql", [True, False])
def test_killed_in_the_middle_it_leaves_nothing_half(
    to_postgresql: bool, source: Config, empty: str, tmp_path: Path
) -> None:
    """Every row is there and the first tables have been compared: then it is killed."""
    assert source.sqlite_path
    before = source.sqlite_path.read_bytes()
    place = empty if to_postgresql else str(tmp_path / "copy.db")
    copying = subprocess.Popen(
        [sys.executable, "-u", "-c", SLOW, "--journal", str(source.sqlite_path), "copy-to", place],
        cwd=ROOT, env=os.environ | {"XDG_DATA_HOME": str(tmp_path)}, text=True,
        stdout=subprocess.PIPE,
    )  # fmt: skip
    with copying:
        assert copying.stdout
        assert "on both sides" in copying.stdout.readline()
        copying.send_signal(signal.SIGKILL)
    assert source.sqlite_path.read_bytes() == before
    if to_postgresql:
        assert tables(empty) == []
    else:
        assert not (tmp_path / "copy.db").exists()
    move(source, config_of(place, source), silent)
    assert read_rows(config_of(place, source).url) == read_rows(sqlite_url(source.sqlite_path))


# The command; each line it says takes a second, so that it can be killed before it is done.
SLOW = """
import sys, time
import click
from app.cli import main
said = click.echo
def echo(text):
    said(text)
    time.sleep(1)
click.echo = echo
sys.exit(main(sys.argv[1:]))
"""
