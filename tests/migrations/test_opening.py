"""Opening a journal brings it up to date, keeps a copy first, and touches nothing it must not."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from app.config import Config
from app.revisions import head
from app.schema import bring_up_to_date, current, downgrade
from tests.migrations.rows import read_rows
from tests.migrations.snapshot import PAST, load


@pytest.fixture
def old(tmp_path: Path) -> Config:
    """A journal of the first revision with rows in it."""
    path = tmp_path / "journal.db"
    load(PAST / "0001.sql", path)
    return Config(url=f"sqlite:///{path}", home=tmp_path, secret_key="")


def test_a_copy_is_kept_before_an_old_journal_is_changed(old: Config) -> None:
    before = read_rows(old.url)
    kept = bring_up_to_date(old)
    assert kept is not None
    assert kept.parent == old.home / "backups"
    assert current(f"sqlite:///{kept}") == "0001"
    assert read_rows(f"sqlite:///{kept}") == before
    assert current(old.url) == head()


def test_a_journal_that_is_up_to_date_is_not_copied(sqlite_config: Config) -> None:
    assert bring_up_to_date(sqlite_config) is None
    assert not (sqlite_config.home / "backups").exists()


def test_a_new_journal_has_nothing_to_copy(tmp_path: Path) -> None:
    config = Config(url=f"sqlite:///{tmp_path / 'new.db'}", home=tmp_path, secret_key="")
    assert bring_up_to_date(config) is None
    assert current(config.url) == head()
    assert not (tmp_path / "backups").exists()


def test_a_journal_emptied_by_stepping_down_is_filled_again(sqlite_config: Config) -> None:
    downgrade(sqlite_config.url, "base")
    assert current(sqlite_config.url) is None
    bring_up_to_date(sqlite_config)
    assert current(sqlite_config.url) == head()


def test_a_newer_journal_is_refused_in_a_sentence_and_left_alone(sqlite_config: Config) -> None:
    _execute(sqlite_config, "UPDATE alembic_version SET version_num = '9000'")
    before = _bytes(sqlite_config)
    with pytest.raises(RuntimeError, match=r"written by a newer Oddcup \(revision 9000, .*\)\."):
        bring_up_to_date(sqlite_config)
    assert _bytes(sqlite_config) == before


def test_another_programs_database_is_refused_and_left_alone(tmp_path: Path) -> None:
    config = Config(url=f"sqlite:///{tmp_path / 'other.db'}", home=tmp_path, secret_key="")
    _execute(config, "CREATE TABLE stamps (country TEXT)")
    before = _bytes(config)
    with pytest.raises(RuntimeError, match="something else than a journal"):
        bring_up_to_date(config)
    assert _bytes(config) == before


@pytest.mark.parametrize("content", [b"Dear diary, today I brewed. " * 100, b"\x00" * 4096])
def test_a_file_that_is_no_database_is_refused_and_left_alone(
    content: bytes, tmp_path: Path
) -> None:
    (tmp_path / "notes.txt").write_bytes(content)
    config = Config(url=f"sqlite:///{tmp_path / 'notes.txt'}", home=tmp_path, secret_key="")
    with pytest.raises(RuntimeError, match="could not be opened"):
        bring_up_to_date(config)
    assert _bytes(config) == content


def test_a_folder_is_no_journal(tmp_path: Path) -> None:
    config = Config(url=f"sqlite:///{tmp_path}", home=tmp_path, secret_key="")
    with pytest.raises(RuntimeError, match="could not be opened"):
        bring_up_to_date(config)


@pytest.mark.postgres
def test_a_server_that_does_not_answer_is_said_in_a_sentence(tmp_path: Path) -> None:
    url = f"postgresql+psycopg://someone@/journal?host={tmp_path}"
    with pytest.raises(RuntimeError, match="could not be opened"):
        bring_up_to_date(Config(url=url, home=tmp_path, secret_key=""))


@pytest.mark.parametrize("url", ["nonsense", "nosuchthing://journal"])
def test_an_address_that_means_nothing_is_said_in_a_sentence(url: str, tmp_path: Path) -> None:
    with pytest.raises(RuntimeError, match="cannot be used"):
        bring_up_to_date(Config(url=url, home=tmp_path, secret_key=""))


def _execute(config: Config, statement: str) -> None:
    assert config.sqlite_path
    with closing(sqlite3.connect(config.sqlite_path)) as journal:
        journal.execute(statement)
        journal.commit()


def _bytes(config: Config) -> bytes:
    assert config.sqlite_path
    return config.sqlite_path.read_bytes()
