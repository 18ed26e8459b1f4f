"""The page of the backups: how old, where, by hand, check, restore; and who may."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from urllib.parse import quote

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.backups.copying import back_up
from app.backups.daily import care_for
from app.backups.record import note, stamp
from app.config import Config
from app.database import Database
from app.models import Brew
from app.web.pause import BEING_RESTORED
from app.web.security import open_to_network
from tests.migrations.snapshot import PAST, load
from tests.support import page
from tests.support.browser import MACHINE
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.phone import Phone, new_code

Freeze = Callable[[datetime | str], None]


@pytest.fixture
def file(config: Config) -> Path:
    if config.sqlite_path is None:
        pytest.skip("PostgreSQL's own tools make these backups")
    return config.sqlite_path


def brews(journal: Database) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(Brew)) or 0


def read(client: FlaskClient, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200, path
    return page.text(answer.text)


def test_a_backup_is_made_listed_looked_at_and_restored(
    client: FlaskClient, config: Config, file: Path, make: Make, journal: Database
) -> None:
    make.brew()
    assert "There is no backup yet" in read(client, "/settings/backups/")
    assert client.post("/settings/backups/now").status_code == 303
    (made,) = (config.home / "backups").glob("*.db")
    make.brew()
    make.brew()
    listed = read(client, "/settings/backups/")
    assert f"Backed up and checked: {made}" in listed
    assert "by hand · 1 brew" in listed
    shown = read(client, f"/settings/backups/{made.name}")
    assert "2 brews of the journal are not in this backup" in shown
    assert "Brews 1 3" in shown
    assert str(file) in shown
    assert brews(journal) == 3, "looking changes nothing"
    answer = client.post(f"/settings/backups/{made.name}/restore")
    assert answer.status_code == 303
    assert brews(journal) == 1
    listed = read(client, "/settings/backups/")
    assert "Restored. The journal as it was before is kept as" in listed
    assert "set aside by a restore, not checked · 3 brews" in listed
    make.brew(entry_key="00000000-0000-0000-0000-00000000beef")
    assert "2 brews" in read(client, f"/settings/backups/{made.name}") or brews(journal) == 2


def test_an_older_backup_is_brought_up_to_date_as_it_is_restored(
    client: FlaskClient, config: Config, file: Path, make: Make, journal: Database
) -> None:
    make.brew()
    folder = config.home / "backups"
    folder.mkdir()
    old = folder / "backup-20260101-000000-000000.db"
    load(PAST / "0001.sql", old)
    assert "made by another journal or an earlier Oddcup" in read(client, "/settings/backups/")
    assert client.post(f"/settings/backups/{old.name}/restore").status_code == 303
    assert read(client, "/brews/")
    assert read(client, "/blind/")


def test_a_damaged_backup_is_refused_and_the_journal_stays_open(
    client: FlaskClient, config: Config, file: Path, make: Make, journal: Database
) -> None:
    make.brew()
    made = back_up(config)
    assert made
    whole = made.read_bytes()
    made.write_bytes(whole[: len(whole) // 2])
    answer = client.post(f"/settings/backups/{made.name}/restore", follow_redirects=True)
    assert "was not restored" in page.text(answer.text)
    assert brews(journal) == 1
    assert client.get("/").status_code == 200
    assert not list(config.home.glob("*.partial*"))


@pytest.mark.parametrize(
    "name", ["journal.db", "../journal.db", "..%2fjournal.db", "secret.key", "1", "nothing.db"]
)
def test_an_address_names_no_other_file(
    client: FlaskClient, file: Path, name: str, config: Config
) -> None:
    (config.home / "backups").mkdir()
    (config.home / "backups" / "secret.key").write_text("x")
    for path in (f"/settings/backups/{name}", f"/settings/backups/{quote(name, safe='')}"):
        assert client.get(path).status_code == 404
        assert client.post(f"{path}/restore").status_code == 404


def test_others_get_a_503_while_the_journal_is_replaced(
    app: Flask, client: FlaskClient, file: Path, make: Make
) -> None:
    make.brew()
    pause = app.extensions["oddcup_pause"]
    with pause.alone(1):
        for answer in (client.get("/"), client.post("/brews/new"), client.get("/brews/1")):
            assert answer.status_code == 503
            assert answer.text == BEING_RESTORED
            assert answer.headers["Retry-After"] == "5"
    assert client.get("/").status_code == 200


def test_a_restore_waits_for_others_and_gives_up_in_words(
    app: Flask, client: FlaskClient, config: Config, make: Make, file: Path,
    monkeypatch: pytest.MonkeyPatch, journal: Database,
) -> None:  # fmt: skip
    make.brew()
    made = back_up(config)
    assert made
    monkeypatch.setattr("app.settings.restoring.OTHERS_WAIT_S", 0.1)
    pause = app.extensions["oddcup_pause"]
    assert pause.enter()  # a request that does not end
    answer = client.post(f"/settings/backups/{made.name}/restore")
    assert answer.status_code == 303
    assert "nothing was changed" in read(client, answer.headers["Location"])
    pause.leave()
    assert client.post(f"/settings/backups/{made.name}/restore").status_code == 303
    assert brews(journal) == 1


def test_the_check_says_what_it_looked_at_and_claims_no_more(
    client: FlaskClient, file: Path, make: Make
) -> None:
    make.brew()
    shown = page.text(client.post("/settings/backups/check").text)
    assert "Structure: every page and row of the file can be read" in shown
    assert "A value that was changed into another allowed one is not noticed" in shown
    assert "safe" not in shown


def test_the_folder_is_chosen_on_the_page_and_a_slip_keeps_what_was_typed(
    client: FlaskClient, config: Config, file: Path
) -> None:
    answer = client.post("/settings/backups/folder", data={"folder": "some/where"})
    assert answer.status_code == 422
    assert "Please write the whole path" in page.text(answer.text)
    assert 'value="some/where"' in answer.text
    stick = config.home / "stick"
    assert client.post("/settings/backups/folder", data={"folder": str(stick)}).status_code == 303
    shown = read(client, "/settings/backups/")
    assert f"Backups go to {stick}" in shown
    assert "That is the disk of the journal itself" in shown


def test_today_and_the_settings_say_when_backups_are_in_trouble(
    client: FlaskClient, config: Config, file: Path, make: Make, freeze: Freeze
) -> None:
    make.brew()
    care_for(config, NOON)
    assert "Backups" not in read(client, "/").split("Same again")[1]
    assert "less than a day old" in read(client, "/settings/")
    freeze(NOON + timedelta(days=8))
    for path in ("/", "/settings/"):
        shown = read(client, path)
        assert "8 days old" in shown
        assert "For more than a week no backup was made" in shown
    freeze(NOON)
    note(file, failure="The stick is full.", failed_at=stamp(NOON))
    for path in ("/", "/settings/", "/settings/backups/"):
        assert "The stick is full." in read(client, path)


def test_a_chosen_folder_that_is_away_is_said_on_today(
    client: FlaskClient, config: Config, file: Path, make: Make
) -> None:
    make.brew()
    stick = config.home / "stick"
    client.post("/settings/backups/folder", data={"folder": str(stick)})
    care_for(config, NOON)
    assert f"{stick} is not there" not in read(client, "/")
    stick.rename(config.home / "unplugged")
    care_for(config, NOON)
    for path in ("/", "/settings/", "/settings/backups/"):
        shown = read(client, path)
        assert f"{stick} is not there: perhaps its disk is not plugged in." in shown
        assert "Meanwhile backups go into the folder beside the journal." in shown


def test_a_paired_phone_neither_sees_backups_nor_restores_one(
    app: Flask, client: FlaskClient, config: Config, file: Path, make: Make, journal: Database
) -> None:
    make.brew()
    made = back_up(config)
    assert made
    open_to_network(app, [MACHINE])
    phone = Phone(app)
    phone.pair(new_code(app.test_client()))
    make.brew()
    note(file, failure="The stick is full.", failed_at=stamp(NOON))
    for path in ("", made.name):
        assert phone.ask(f"/settings/backups/{path}").status_code == 403
    for path in ("now", "check", "folder", f"{made.name}/restore"):
        assert phone.ask(f"/settings/backups/{path}", "POST").status_code == 403
    assert brews(journal) == 2
    today = phone.ask("/").text
    assert "The stick is full." in today
    assert '/settings/backups/"' not in today


def test_on_postgresql_the_pages_name_its_own_tools(client: FlaskClient, config: Config) -> None:
    if config.sqlite_path is not None:
        pytest.skip("for a journal on PostgreSQL")
    assert "pg_dump" in read(client, "/settings/backups/")
    assert read(client, "/settings/")
    assert read(client, "/")
    for path in ("now", "check"):
        assert client.post(f"/settings/backups/{path}").status_code == 303
