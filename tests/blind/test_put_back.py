"""A journal put back to an earlier state while a blind test is open: that is marked for good."""

from __future__ import annotations

import shutil
import stat
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from urllib.request import urlopen

import pytest
from flask.testing import FlaskClient
from sqlalchemy import text as sql
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from app import create_app
from app.backups import copying
from app.backups.restoring import restore
from app.config import Config
from app.database import Database
from app.journal.blind.put_back import mark_if_put_back
from app.seals import Remembered, Seals, seals_of
from tests.support.blind import next_trial, one_trial, planned, pour, right_places
from tests.support.page import text
from tests.support.serving import serving

MARKED = "put back to an earlier state while this test was open"

Opened = tuple[FlaskClient, Database]


@pytest.fixture
def opened(sqlite_config: Config) -> Iterator[Callable[[], Opened]]:
    """Closes the journal's app and opens another on whatever file is there now."""
    open_now: list[Database] = []

    def close() -> None:
        for database in open_now:
            database.dispose()
        open_now.clear()

    def open_anew() -> Opened:
        close()
        app = create_app(sqlite_config)
        app.config.update(TESTING=True, WTF_CSRF_ENABLED=False, ZONE="UTC")
        database: Database = app.extensions["oddcup_database"]
        open_now.append(database)
        mark_if_put_back(database, seals_of(sqlite_config), datetime.now(UTC))  # as serving does
        return app.test_client(), database

    yield open_anew
    close()


@pytest.fixture
def file(sqlite_config: Config) -> Path:
    path = sqlite_config.sqlite_path
    assert path is not None
    return path


def back_up(config: Config) -> Path:
    made = copying.back_up(config)
    assert made is not None
    return made


def said(client: FlaskClient, test_id: int) -> str:
    return text(client.get(f"/blind/{test_id}").text)


def answer(client: FlaskClient, journal: Database, number: int) -> None:
    (right,) = right_places(journal, number)
    client.post(f"/blind/trials/{number}/answer", data={"place": right, "sure": "yes"})


def poured(client: FlaskClient) -> tuple[int, int]:
    """A test with a trial that waits for its answer."""
    test_id = planned(client)
    number = next_trial(client, test_id)
    pour(client, number)
    return test_id, number


def test_answered_again_after_a_restore_is_marked(
    opened: Callable[[], Opened], sqlite_config: Config
) -> None:
    """C13 (b): backup, answer, see the key, restore, answer right."""
    client, journal = opened()
    test_id, number = poured(client)
    backup = back_up(sqlite_config)
    answer(client, journal, number)
    assert MARKED not in said(client, test_id)
    journal.dispose()
    restore(sqlite_config, backup)
    client, journal = opened()
    assert MARKED in said(client, test_id)
    answer(client, journal, number)
    assert said(client, test_id).count(MARKED) == 1
    client, journal = opened()
    assert said(client, test_id).count(MARKED) == 1


def test_answered_again_after_the_file_was_copied_back_is_marked(
    opened: Callable[[], Opened], file: Path
) -> None:
    """C13 (b): the same by hand, without a word to Oddcup."""
    client, journal = opened()
    test_id, number = poured(client)
    journal.dispose()
    shutil.copyfile(file, earlier := file.with_suffix(".earlier"))
    client, journal = opened()
    answer(client, journal, number)
    journal.dispose()
    shutil.copyfile(earlier, file)
    client, journal = opened()
    assert MARKED in said(client, test_id)


def test_the_command_marks_it_as_it_opens_the_journal(
    opened: Callable[[], Opened], file: Path
) -> None:
    """C13 (b): a real server on a file that was copied back shows the mark on its first page."""
    client, journal = opened()
    test_id, number = poured(client)
    journal.dispose()
    shutil.copyfile(file, earlier := file.with_suffix(".earlier"))
    client, journal = opened()
    answer(client, journal, number)
    journal.dispose()
    shutil.copyfile(earlier, file)
    with serving(file) as server, urlopen(f"http://127.0.0.1:{server.port}/blind/{test_id}") as got:
        assert MARKED in text(got.read().decode())


def test_a_mark_cannot_be_put_back_with_the_journal(
    opened: Callable[[], Opened], sqlite_config: Config, file: Path
) -> None:
    """C13 (b): restored, marked, and then the state before the restore copied back by hand."""
    client, journal = opened()
    test_id, number = poured(client)
    early = back_up(sqlite_config)
    answer(client, journal, number)
    journal.dispose()
    shutil.copyfile(file, answered := file.with_suffix(".answered"))
    restore(sqlite_config, early)
    client, journal = opened()
    journal.dispose()
    shutil.copyfile(answered, file)
    client, journal = opened()
    assert MARKED in said(client, test_id)


def test_a_mark_outlives_the_file_of_seals(
    opened: Callable[[], Opened], sqlite_config: Config
) -> None:
    """C13 (b): the restored journal carries it, and the next restore takes it over."""
    client, journal = opened()
    test_id, number = poured(client)
    early = back_up(sqlite_config)
    answer(client, journal, number)
    journal.dispose()
    restore(sqlite_config, early)
    client, journal = opened()
    journal.dispose()
    seals_of(sqlite_config).path.unlink()
    restore(sqlite_config, early)
    client, journal = opened()
    assert MARKED in said(client, test_id)


def test_a_restore_that_undoes_nothing_of_a_test_leaves_no_mark(
    opened: Callable[[], Opened], sqlite_config: Config
) -> None:
    """C13 (b): a mark is no suspicion: only tests that had gone on are marked."""
    client, journal = opened()
    still, gone_on, ended = planned(client), planned(client), planned(client)
    for test_id in (still, gone_on, ended):
        one_trial(client, journal, test_id, right=True)
    client.post(f"/blind/{ended}/stop", data={"reason": "no beans"})
    backup = back_up(sqlite_config)
    one_trial(client, journal, gone_on, right=False)
    later = planned(client)
    journal.dispose()
    restore(sqlite_config, backup)
    client, journal = opened()
    assert [MARKED in said(client, test_id) for test_id in (still, gone_on, ended)] == [
        False,
        True,
        False,
    ]
    assert client.get(f"/blind/{later}").status_code == 404
    one_trial(client, journal, still, right=True)
    assert MARKED not in said(client, still)


def test_a_stop_that_is_undone_by_a_restore_is_marked(
    opened: Callable[[], Opened], sqlite_config: Config
) -> None:
    """C13 (b): the end of a test is a step too."""
    client, journal = opened()
    test_id = planned(client)
    one_trial(client, journal, test_id, right=False)
    backup = back_up(sqlite_config)
    client.post(f"/blind/{test_id}/stop", data={"reason": "no beans"})
    journal.dispose()
    restore(sqlite_config, backup)
    client, journal = opened()
    assert MARKED in said(client, test_id)


def test_where_nothing_is_known_of_the_time_after_a_backup_it_is_marked(
    opened: Callable[[], Opened], sqlite_config: Config, file: Path
) -> None:
    """C13 (b): the journal is lost and so is what was remembered beside it."""
    client, journal = opened()
    test_id, _ = poured(client)
    backup = back_up(sqlite_config)
    journal.dispose()
    seals_of(sqlite_config).path.unlink()
    file.write_bytes(b"no journal any more" * 100)
    restore(sqlite_config, backup)
    client, journal = opened()
    assert MARKED in said(client, test_id)


def test_the_next_step_finds_a_journal_put_back_under_a_running_server(
    client: FlaskClient, journal: Database, config: Config
) -> None:
    """C13 (b): on any database, before the step is taken; by what is remembered beside it."""
    test_id, number = poured(client)
    (key, steps) = next(iter(seals_of(config).read().steps.items()))
    assert steps == 3  # drawn, claimed, served
    seals_of(config).note_steps(key, steps + 1)
    assert MARKED not in said(client, test_id)
    answer(client, journal, number)
    assert said(client, test_id).count(MARKED) == 1
    with (
        pytest.raises(IntegrityError, match="mark of a blind test stays"),
        Session(journal.writer) as session,
        session.begin(),
    ):
        session.execute(sql("DELETE FROM blind_test_mark"))


def test_what_is_remembered_is_for_its_owner_only_and_outlives_a_torn_line(tmp_path: Path) -> None:
    """C13 (b): mode 600, lines only added, a line cut off by a power cut passed over."""
    seals = Seals(tmp_path / "journal.db.seals")
    seals.note_steps("one", 4)
    seals.note_steps("one", 3)
    assert stat.S_IMODE(seals.path.stat().st_mode) == 0o600
    with seals.path.open("a") as file:
        file.write("one put back 2026-09-")
    seals.note_steps("two", 1)
    assert seals.read() == Remembered({"one": 4, "two": 1})


def test_a_journal_whose_steps_cannot_be_remembered_is_used_all_the_same(
    client: FlaskClient, journal: Database, config: Config, monkeypatch: pytest.MonkeyPatch
) -> None:
    """C13 (b): a full disk beside the journal loses no answer."""

    def full(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("app.seals.Seals.note_steps", full)
    test_id, number = poured(client)
    answer(client, journal, number)
    assert "1 of 1 right" in said(client, test_id)


def test_a_restore_from_the_page_marks_at_once(
    client: FlaskClient, journal: Database, config: Config
) -> None:
    """C13 (b): while the journal stays open, and with a backup made by the page."""
    if config.sqlite_path is None:
        pytest.skip("PostgreSQL's own tools make these backups")
    test_id, number = poured(client)
    backup = back_up(config)
    answer(client, journal, number)
    assert client.post(f"/settings/backups/{backup.name}/restore").status_code == 303
    assert said(client, test_id).count(MARKED) == 1
    answer(client, journal, number)
    shown = said(client, test_id)
    assert "1 of 1 right" in shown
    assert shown.count(MARKED) == 1
