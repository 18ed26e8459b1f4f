"""`oddcup copy-to FILE`: everything, or nothing and a sentence."""

from __future__ import annotations

import hashlib
import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from app.backups.checks import find_damage
from app.cli import commands
from app.config import Config, sqlite_url
from app.file.hold import holding
from app.file.lock import InUse
from app.models.reading import PARENTS_FIRST
from app.moving.copying import move
from app.moving.target import config_of
from app.schema import upgrade
from app.seals import seals_of
from tests.migrations.rows import read_rows
from tests.moving.reading import triggers


def moved(source: Config, to: Path) -> list[str]:
    said: list[str] = []
    move(source, config_of(str(to), source), said.append)
    return said


def digest(config: Config) -> str:
    assert config.sqlite_path
    return hashlib.sha256(config.sqlite_path.read_bytes()).hexdigest()


def test_a_copy_holds_everything_and_is_not_copied_over(source: Config, tmp_path: Path) -> None:
    seals_of(source).note_steps("a-test", 7)
    before, there = digest(source), tmp_path / "there" / "copy.db"
    said = moved(source, there)
    copy = config_of(str(there), source)
    rows = read_rows(copy.url)
    assert rows == read_rows(source.url)
    assert all(rows.values()), "each table has rows to be moved"
    assert [line.split()[0] for line in said] == [table.name for table in PARENTS_FIRST]
    assert find_damage(copy) == []
    assert seals_of(copy).read().steps == {"a-test": 7}
    assert digest(source) == before
    assert triggers(copy.url) == triggers(source.url) != []
    with closing(sqlite3.connect(there)) as journal:
        for table, says in (("trial", "cannot be deleted"), ("blind_packet", "stays")):
            with pytest.raises(sqlite3.IntegrityError, match=says):
                journal.execute(f"DELETE FROM {table}")
    whole = digest(copy)
    with pytest.raises(RuntimeError, match="holds a journal already"):
        moved(source, there)
    assert digest(copy) == whole
    assert {path.name for path in there.parent.iterdir()} == {"copy.db", "copy.db.seals"}


def test_an_empty_journal_may_be_the_target(
    source: Config, sqlite_template: Path, tmp_path: Path
) -> None:
    shutil.copyfile(sqlite_template, tmp_path / "copy.db")
    moved(source, tmp_path / "copy.db")
    assert read_rows(sqlite_url(tmp_path / "copy.db")) == read_rows(source.url)


def test_another_program_s_file_is_refused(source: Config, tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "other.db")) as other:
        other.execute("CREATE TABLE shopping (what)")
        other.commit()
    with pytest.raises(RuntimeError, match="something else than a journal"):
        moved(source, tmp_path / "other.db")


def test_a_journal_that_is_open_is_refused(source: Config, tmp_path: Path) -> None:
    assert source.sqlite_path
    with holding(source.sqlite_path, "serve"), pytest.raises(InUse, match="is open already"):
        moved(source, tmp_path / "copy.db")
    assert not (tmp_path / "copy.db").exists()


def test_a_journal_of_an_older_oddcup_is_not_touched(source: Config, tmp_path: Path) -> None:
    older = replace(source, url=sqlite_url(tmp_path / "older.db"))
    upgrade(older.url, "0020")
    with closing(sqlite3.connect(tmp_path / "older.db")) as served_once:
        served_once.execute("PRAGMA journal_mode = WAL")
    before = digest(older)
    with pytest.raises(RuntimeError, match=r"older Oddcup .revision 0020"):
        moved(older, tmp_path / "copy.db")
    assert digest(older) == before
    assert not (tmp_path / "copy.db").exists()


def test_a_value_that_cannot_be_read_leaves_nothing(source: Config, tmp_path: Path) -> None:
    assert source.sqlite_path
    with closing(sqlite3.connect(source.sqlite_path)) as journal:
        journal.execute("UPDATE tasting SET tasted_at = 'yesterday'")
        journal.commit()
    with pytest.raises(RuntimeError, match="tasting holds a value that cannot be read"):
        moved(source, tmp_path / "copy.db")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["home"]


@pytest.mark.parametrize(
    ("place", "says"),
    [
        ("mysql://host/journal", "SQLite file or on PostgreSQL"),
        ("postgresql://host:port/journal", "no address"),
        ("postgresql://host/", "SQLite file or on PostgreSQL"),
        ("postgresql://nobody@127.0.0.1:1/journal", "See that the server runs"),
        ("{home}/journal.db", "the journal itself"),
        ("{home}", "folder"),
    ],
)
def test_a_place_that_is_none_is_said_in_a_sentence(
    place: str, says: str, source: Config, capsys: pytest.CaptureFixture[str]
) -> None:
    from app.cli import main

    place = place.format(home=source.home)
    assert main(["--journal", str(source.sqlite_path), "copy-to", place]) == 1
    said = capsys.readouterr().err
    assert says in said
    assert said.startswith("oddcup: ")
    assert said.count("\n") == 1


def test_the_command_says_how_to_go_on(source: Config, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    words = ["--journal", str(source.sqlite_path), "copy-to", str(copy)]
    said = CliRunner().invoke(commands, words).output
    assert f"oddcup --journal {copy} serve" in said
    assert "is unchanged" in said
    assert "secret.key" in said
