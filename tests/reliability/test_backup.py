"""A backup taken at any moment is a whole journal, and coming back from one loses nothing."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from threading import Event, Thread

import pytest

from app.backups.checks import find_damage
from app.backups.copying import back_up
from app.backups.restoring import restore
from app.cli import main
from app.config import Config, sqlite_url
from app.database import Database
from tests.support.factories import Make


@contextmanager
def written_to(config: Config) -> Iterator[Callable[[], int]]:
    """Brews are saved in another thread; gives the number that were answered so far."""
    database, stop, done = Database(config.url), Event(), [0]
    make = Make(database)

    def write() -> None:
        while not stop.is_set():
            make.brew(filters=[make.filter()])
            done[0] += 1

    thread = Thread(target=write)
    thread.start()
    try:
        yield lambda: done[0]
    finally:
        stop.set()
        thread.join()
        database.dispose()


def _brews(file: Path) -> int:
    with closing(sqlite3.connect(file)) as journal:
        return int(journal.execute("SELECT count(*) FROM brew").fetchone()[0])


def _elsewhere(tmp_path: Path) -> Config:
    home = tmp_path / "elsewhere"
    home.mkdir()
    return Config(url=f"sqlite:///{home / 'journal.db'}", home=home, secret_key="")


def test_a_backup_taken_while_writing_restores_and_is_sound(
    sqlite_config: Config, tmp_path: Path
) -> None:
    elsewhere = _elsewhere(tmp_path)
    with written_to(sqlite_config) as answered:
        for _ in range(8):
            before = answered()
            backup = back_up(sqlite_config)
            after = answered() + 1  # one may be on disk and not yet answered
            assert backup is not None
            restore(elsewhere, backup)
            assert elsewhere.sqlite_path
            assert before <= _brews(elsewhere.sqlite_path) <= after
            assert main(["--journal", str(elsewhere.sqlite_path), "check"]) == 0


def test_what_a_backup_replaces_is_set_aside(sqlite_config: Config, make: Make) -> None:
    """`make` writes to the same file; its connections are closed before the restore."""
    make.brew()
    backup = back_up(sqlite_config)
    make.brew()
    make._journal.dispose()
    assert backup
    assert sqlite_config.sqlite_path
    kept = restore(sqlite_config, backup)
    assert kept
    assert (_brews(sqlite_config.sqlite_path), _brews(kept)) == (1, 2)


def test_a_journal_left_by_a_killed_server_is_set_aside_whole(
    sqlite_config: Config, make: Make, tmp_path: Path
) -> None:
    """The last brews may still be in the log beside the file: copied here as a kill leaves it."""
    empty = back_up(sqlite_config)
    make.brew()
    left = _elsewhere(tmp_path)
    assert empty
    assert left.sqlite_path
    assert sqlite_config.sqlite_path
    for tail in ("", "-wal"):
        source = sqlite_config.sqlite_path.with_name(sqlite_config.sqlite_path.name + tail)
        left.sqlite_path.with_name(left.sqlite_path.name + tail).write_bytes(source.read_bytes())
    kept = restore(left, empty)
    assert kept
    assert (_brews(left.sqlite_path), _brews(kept)) == (0, 1)


def test_a_damaged_journal_can_be_replaced_and_is_kept_as_it_was(
    sqlite_config: Config, make: Make
) -> None:
    make.brew()
    backup = back_up(sqlite_config)
    make._journal.dispose()
    assert backup
    assert sqlite_config.sqlite_path
    sqlite_config.sqlite_path.write_bytes(b"spilled coffee" * 1000)
    assert find_damage(sqlite_config) != []
    kept = restore(sqlite_config, backup)
    assert kept
    assert kept.read_bytes() == b"spilled coffee" * 1000
    assert find_damage(sqlite_config) == []
    assert _brews(sqlite_config.sqlite_path) == 1


def test_an_open_journal_is_not_replaced(sqlite_config: Config, make: Make) -> None:
    """A server would go on saving into the file that was replaced."""
    backup = back_up(sqlite_config)
    make.brew()
    assert backup
    assert sqlite_config.sqlite_path
    with pytest.raises(RuntimeError, match="close Oddcup first"):
        restore(sqlite_config, backup)
    assert _brews(sqlite_config.sqlite_path) == 1


@pytest.mark.parametrize("broken", ["", "nothing like a journal", "cut", "scribbled", "other"])
def test_a_backup_that_is_no_sound_journal_is_not_restored(
    broken: str, sqlite_config: Config, make: Make, tmp_path: Path
) -> None:
    make.brew()
    backup = back_up(sqlite_config)
    make._journal.dispose()
    assert backup
    assert sqlite_config.sqlite_path
    _break(backup, broken)
    with pytest.raises(ValueError, match="was not restored"):
        restore(sqlite_config, backup)
    assert _brews(sqlite_config.sqlite_path) == 1


def _break(backup: Path, how: str) -> None:
    whole = backup.read_bytes()
    if how == "cut":
        backup.write_bytes(whole[: len(whole) // 2])
    elif how == "scribbled":
        backup.write_bytes(whole[:4096] + b"\xff" * 8192 + whole[12288:])
    elif how == "other":
        backup.unlink()
        with closing(sqlite3.connect(backup)) as other:
            other.execute("CREATE TABLE stamps (country TEXT)")
    else:
        backup.write_text(how)


def test_a_brew_that_lost_its_bag_is_found(sqlite_config: Config, make: Make) -> None:
    make.brew()
    assert find_damage(sqlite_config) == []
    assert sqlite_config.sqlite_path
    with closing(sqlite3.connect(sqlite_config.sqlite_path)) as journal:
        journal.execute("DELETE FROM bag")
        journal.commit()
    assert find_damage(sqlite_config) == ["Row 1 of brew points at a missing bag."]


def test_a_value_that_no_form_takes_is_found(sqlite_config: Config, make: Make) -> None:
    make.brew()
    assert sqlite_config.sqlite_path
    with closing(sqlite3.connect(sqlite_config.sqlite_path)) as journal:
        journal.execute("PRAGMA ignore_check_constraints = ON")
        journal.execute("UPDATE brew SET dose_g = -3")
        journal.commit()
    assert find_damage(sqlite_config) == ["CHECK constraint failed in brew"]


def test_a_file_that_is_there_is_never_written_over(sqlite_config: Config, tmp_path: Path) -> None:
    mine = tmp_path / "holiday.jpg"
    mine.write_bytes(b"a picture")
    with pytest.raises(FileExistsError):
        back_up(sqlite_config, to=mine)
    assert mine.read_bytes() == b"a picture"


def test_a_backup_goes_into_a_folder_or_a_new_file(sqlite_config: Config, tmp_path: Path) -> None:
    stick = tmp_path / "stick with spaces, 100% ?#"
    stick.mkdir()
    kept = back_up(sqlite_config, to=stick)
    assert kept
    assert kept.parent == stick
    named = back_up(sqlite_config, to=stick / "new" / "june.db")
    assert named == stick / "new" / "june.db"
    copy = Config(url=sqlite_url(named), home=tmp_path, secret_key="")
    assert find_damage(copy) == []
