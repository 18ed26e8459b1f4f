"""A journal that is deleted, renamed or replaced while it is open takes no more saves."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from app.config import Config
from app.database import Database
from app.file.refused import JournalMoved
from tests.support.serving import beside, brew_into, brews, serving


@pytest.fixture
def journal(sqlite_config: Config) -> Path:
    """A journal with one brew."""
    assert sqlite_config.sqlite_path
    brew_into(sqlite_config.sqlite_path)
    return sqlite_config.sqlite_path


def _rename(journal: Path, other: Path) -> None:
    journal.rename(journal.with_name("away.sqlite"))


def _replace(journal: Path, other: Path) -> None:
    other.replace(journal)


def _write_over(journal: Path, other: Path) -> None:
    journal.write_bytes(other.read_bytes())


def _delete(journal: Path, other: Path) -> None:
    journal.unlink()


WAYS = [_delete, _rename, _replace, _write_over]


@pytest.mark.parametrize("go", WAYS, ids=lambda go: go.__name__.strip("_"))
def test_nothing_is_called_saved_once_the_journal_is_gone(
    go: Callable[[Path, Path], None], journal: Path, tmp_path: Path
) -> None:
    """C4: 20 of 20 saves were acknowledged and lost; what was saved before is kept."""
    other = tmp_path / "other.sqlite"
    shutil.copyfile(journal, other)
    with serving(journal) as server:
        assert all(server.save() for _ in range(4))
        form = server.caller.brew_form()
        go(journal, other)
        for _ in range(3):
            assert server.caller.post("/brews/new", form) >= 500
        with pytest.raises(AssertionError, match="answered 50"):
            server.caller.get("/")
        server.end()
    if go is not _write_over:
        [kept] = (tmp_path / "backups").glob("kept-*.db")
        assert brews(kept) == 5
    if go in (_replace, _write_over):
        assert brews(journal) == 1
    else:
        assert not journal.exists()


def test_a_journal_written_over_just_before_closing_stays_as_it_is(
    journal: Path, tmp_path: Path
) -> None:
    """C4: no page was asked for in between."""
    other = tmp_path / "other.sqlite"
    shutil.copyfile(journal, other)
    with serving(journal) as server:
        assert all(server.save() for _ in range(4))
        _write_over(journal, other)
        server.end()
    assert brews(journal) == 1
    assert beside(journal) == {"other.sqlite", "backups"}


def test_a_journal_put_back_where_it_was_goes_on(journal: Path) -> None:
    """C4: nothing was lost on the way."""
    with serving(journal) as server:
        assert server.save()
        away = journal.rename(journal.with_name("away.sqlite"))
        form = server.caller
        with pytest.raises(AssertionError):
            form.brew_form()
        away.rename(journal)
        assert server.save()
        server.end()
    assert brews(journal) == 3


def test_a_journal_that_goes_between_begin_and_commit_is_noticed(
    journal: Path, sqlite_config: Config
) -> None:
    """C4: the transaction is not acknowledged, and the write lock is given back."""
    database = Database(sqlite_config.url)
    session = database.write_session()
    session.connection().exec_driver_sql("UPDATE brew SET note = 'lost'")
    away = journal.rename(journal.with_name("away.sqlite"))
    with pytest.raises(JournalMoved, match="moved, deleted or replaced"):
        session.commit()
    session.close()
    away.rename(journal)
    with database.write_session() as again, again.begin():
        note = again.connection().exec_driver_sql("SELECT note FROM brew").scalar()
    assert note != "lost"
    database.dispose()


def test_a_new_connection_does_not_join_another_file_to_the_open_log(
    journal: Path, sqlite_config: Config, tmp_path: Path
) -> None:
    """C4: two files under one log would destroy each other."""
    other = tmp_path / "other.sqlite"
    shutil.copyfile(journal, other)
    database = Database(sqlite_config.url)
    with database.read_session() as session:
        session.connection()
        other.replace(journal)
        with pytest.raises(JournalMoved):
            database.engine.raw_connection()
    database.dispose()
