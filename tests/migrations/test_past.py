"""A journal written by any earlier Oddcup opens in this one with all its rows."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import create_engine

from app.backups.checks import find_damage
from app.config import Config
from app.database import Database
from app.journal.alike import set_alike
from app.models import Brewer
from app.revisions import head, revisions
from app.schema import current, downgrade, upgrade
from tests.migrations.rows import Rows, kept, lasting, read_rows, write_rows
from tests.migrations.schema_text import Schema, schema, triggers
from tests.migrations.snapshot import PAST, load
from tests.support import postgres

# A test by A – not A beside the snapshot's own, with a trial, a brew of it, and a question.
IN_WORDS = (
    "CREATE TEMP TABLE one AS SELECT * FROM blind_test WHERE id = 1",
    "UPDATE one SET id = 90, entry_key = 'ninety', method = 'A-not-A', reminder = 1,"
    " brewing = 'every cup its own'",
    "INSERT INTO blind_test SELECT * FROM one",
    "INSERT INTO blind_taster (test_id, taster_id, joined_at)"
    " SELECT 90, taster_id, joined_at FROM blind_taster WHERE test_id = 1",
    "CREATE TEMP TABLE first AS SELECT * FROM trial WHERE id = 1",
    "UPDATE first SET id = 90, test_id = 90, cups = 'A', codes = '417'",
    "INSERT INTO trial SELECT * FROM first",
    "INSERT INTO trial_brew (trial_id, brew_id, cup) VALUES (90, 1, 'A')",
    "INSERT INTO question_blind_test (question_id, test_id) VALUES (1, 90)",
)
BEFORE = dict(zip(revisions(), ["base", *revisions()], strict=False))


def _snapshot(revision: str, folder: Path) -> str:
    journal = folder / f"{revision}.db"
    load(PAST / f"{revision}.sql", journal)
    return f"sqlite:///{journal}"


@pytest.mark.parametrize("revision", revisions())
def test_every_revision_has_a_journal_with_rows_in_every_table(
    revision: str, tmp_path: Path
) -> None:
    url = _snapshot(revision, tmp_path)
    assert current(url) == revision
    assert [table for table, rows in read_rows(url).items() if not rows] == []


def test_every_snapshot_has_the_tables_of_its_revision(tmp_path: Path) -> None:
    now = f"sqlite:///{tmp_path / 'now.db'}"
    for revision in revisions():
        upgrade(now, revision)
        found = [_tables(url) for url in (_snapshot(revision, tmp_path), now)]
        assert found[0] == found[1], f"{revision}: after changing it, make snapshot"


def _tables(url: str) -> tuple[Schema, dict[str, str]]:
    with create_engine(url).connect() as connection:
        return schema(connection), triggers(connection)


@pytest.mark.parametrize("revision", revisions())
def test_an_earlier_journal_is_upgraded_with_its_rows_and_triggers(
    revision: str, tmp_path: Path
) -> None:
    """SQLite drops a rebuilt table's triggers in silence: what was guarded stays guarded."""
    url = _snapshot(revision, tmp_path)
    before, guarded = lasting(read_rows(url)), set(_tables(url)[1])
    upgrade(url)
    after = read_rows(url)
    assert current(url) == head()
    assert kept(before, after) == before
    assert guarded <= set(_tables(url)[1])
    assert find_damage(Config(url=url, home=tmp_path, secret_key="")) == []


@pytest.mark.postgres
@pytest.mark.parametrize("revision", revisions())
def test_an_earlier_journal_on_postgresql_is_upgraded_with_its_rows(
    revision: str, tmp_path: Path, postgres_server: str
) -> None:
    before = read_rows(_snapshot(revision, tmp_path))
    with postgres.database(postgres_server) as url:
        upgrade(url, revision)
        write_rows(url, before)
        upgrade(url)
        assert kept(lasting(before), read_rows(url)) == lasting(before)


@pytest.mark.parametrize("revision", revisions())
def test_a_step_down_and_up_again_leaves_the_earlier_rows(revision: str, tmp_path: Path) -> None:
    url = _snapshot(revision, tmp_path)
    before = read_rows(url)
    downgrade(url, BEFORE[revision])
    between = lasting(read_rows(url))
    upgrade(url, revision)
    assert kept(between, before) == between
    assert kept(between, read_rows(url)) == between
    assert current(url) == revision


@pytest.mark.postgres
@pytest.mark.parametrize("revision", revisions())
def test_a_step_down_and_up_again_works_on_postgresql(revision: str, postgres_server: str) -> None:
    with postgres.database(postgres_server) as url:
        upgrade(url, revision)
        downgrade(url, BEFORE[revision])
        upgrade(url, revision)
        assert current(url) == revision


def test_the_brews_of_a_trial_move_to_a_table_of_their_own_and_back(tmp_path: Path) -> None:
    url = _snapshot("0005", tmp_path)
    with closing(sqlite3.connect(tmp_path / "0005.db")) as journal:
        journal.execute("UPDATE trial SET brew_a_id = 1, brew_b_id = 2 WHERE id = 1")
        journal.commit()
    upgrade(url, "0006")
    moved = [tuple(row.values()) for row in read_rows(url)["trial_brew"]]
    assert moved == [(1, 1, "A"), (1, 2, "B")]
    downgrade(url, "0005")
    (trial,) = read_rows(url)["trial"]
    assert (trial["brew_a_id"], trial["brew_b_id"]) == (1, 2)


def test_the_guests_of_a_test_become_its_tasters(tmp_path: Path) -> None:
    url = _snapshot("0005", tmp_path)
    with closing(sqlite3.connect(tmp_path / "0005.db")) as journal:
        journal.execute("UPDATE device SET guest_of_test_id = 1")
        journal.commit()
    upgrade(url)
    rows = read_rows(url)
    taster = rows["blind_taster"][0]["taster_id"]
    assert {row["guest_taster_id"] for row in rows["device"]} == {taster}
    assert {row["guest_taster_id"] for row in rows["pairing_code"]} == {None}


def test_photos_that_were_replaced_step_down_to_the_one_shown(tmp_path: Path) -> None:
    """The older tables hold one photo of a brew: that shown, else the one binned last."""
    url = _snapshot("0009", tmp_path)
    with closing(sqlite3.connect(tmp_path / "0009.db")) as journal:
        (brew_id,) = journal.execute("SELECT id FROM brew ORDER BY id LIMIT 1").fetchone()
        (binned_only,) = journal.execute("SELECT max(brew_id) FROM brew_photo").fetchone()
        add = "INSERT INTO brew_photo (brew_id, alt, jpeg, binned_at) VALUES (?, ?, x'ff', ?)"
        for row in (
            (brew_id, "shown", None),
            (brew_id, "replaced", "2026-09-20 12:00:00.000000"),
            (binned_only, "binned last", "2026-09-21 12:00:00.000000"),
        ):
            journal.execute(add, row)
        journal.commit()
    downgrade(url, BEFORE["0009"])
    kept_alt = {row["brew_id"]: row["alt"] for row in read_rows(url)["brew_photo"]}
    assert (kept_alt[brew_id], kept_alt[binned_only]) == ("shown", "binned last")
    upgrade(url)
    rows = read_rows(url)["brew_photo"]
    assert {row["brew_id"]: row["alt"] for row in rows} == kept_alt
    assert {row["binned_at"] for row in rows} == {None}


def test_tests_answered_in_words_go_with_a_step_down(tmp_path: Path) -> None:
    """The older tables have no word for them; what points at them goes too, the others stay."""
    url = _snapshot("0010", tmp_path)
    before = read_rows(url)
    with closing(sqlite3.connect(tmp_path / "0010.db")) as journal:
        for sql in IN_WORDS:
            journal.execute(sql)
        journal.commit()
    assert read_rows(url) != before
    downgrade(url, BEFORE["0010"])
    assert read_rows(url) == kept(read_rows(url), before)
    upgrade(url)
    assert kept(lasting(before), read_rows(url)) == lasting(before)


def test_marking_brewers_as_alike_touches_no_brew_of_an_earlier_journal(tmp_path: Path) -> None:
    """Every brew and every value stays: when upgraded, when marked, and when marked no longer."""
    url = _snapshot("0014", tmp_path)
    with closing(sqlite3.connect(tmp_path / "0014.db")) as journal:
        journal.execute(
            "INSERT INTO brewer SELECT 90, 'Second', kind, 90.5, 9.5, 'x', NULL FROM brewer"
        )
        journal.execute("UPDATE brew SET brewer_id = 90 WHERE id % 2 = 0")
        journal.commit()
    _holds_through_marking(url, read_rows(url))


@pytest.mark.postgres
def test_marking_brewers_as_alike_touches_no_brew_on_postgresql(
    tmp_path: Path, postgres_server: str
) -> None:
    before = read_rows(_snapshot("0014", tmp_path))
    second = before["brewer"][0] | {"id": 90, "name": "Second"}
    before["brewer"].append(second)
    before["brew"][1]["brewer_id"] = 90
    with postgres.database(postgres_server) as url:
        upgrade(url, "0014")
        write_rows(url, before)
        _holds_through_marking(url, before)


def _holds_through_marking(url: str, before: Rows) -> None:
    before = lasting(before)
    assert {row["brewer_id"] for row in before["brew"]} == {1, 90}
    upgrade(url)
    assert {row["alike_to_id"] for row in read_rows(url)["brewer"]} == {None}
    database = Database(url)
    for other_id, first_id in ((1, 1), (None, None)):
        with database.write_session() as session, session.begin():
            set_alike(session, session.get_one(Brewer, 90), other_id)
        after = read_rows(url)
        assert [row["alike_to_id"] for row in after["brewer"]] == [None, first_id]
        assert kept(before, after) == before
    database.dispose()


def test_a_migration_that_would_break_references_is_undone(tmp_path: Path) -> None:
    """The journal below lacks a bag that brews point at, as a faulty migration would leave it."""
    url = _snapshot("0001", tmp_path)
    with closing(sqlite3.connect(tmp_path / "0001.db")) as journal:
        journal.execute("DELETE FROM bag")
        journal.commit()
    with pytest.raises(RuntimeError, match="would break references"):
        upgrade(url)
    assert current(url) == "0001"


def test_a_helper_who_is_let_in_is_put_out_by_a_step_back(tmp_path: Path) -> None:
    """Without its column the device would open the whole journal."""
    url = _snapshot("0017", tmp_path)
    with closing(sqlite3.connect(tmp_path / "0017.db")) as journal:
        journal.execute("UPDATE device SET unpaired_at = NULL")
        journal.commit()
    downgrade(url, "0016")
    out = {row["name"]: row["unpaired_at"] is not None for row in read_rows(url)["device"]}
    assert out == {"Kitchen": False, "Guest": False, "Helper": True}


def test_what_a_question_is_about_becomes_a_list_and_each_was_asked_once(tmp_path: Path) -> None:
    url = _snapshot("0019", tmp_path)
    add = (
        "INSERT INTO question (id, text, factor, asked_at, state, answer) VALUES (?, ?, ?, ?, ?, ?)"
    )
    with closing(sqlite3.connect(tmp_path / "0019.db")) as journal:
        moment = "2026-09-20 23:30:00.000000"
        journal.execute(add, (80, "Hotter water?", "water temperature", moment, "open", ""))
        journal.commit()
    upgrade(url)
    rows = read_rows(url)
    assert [row["factors"] for row in rows["question"]] == [[], [], ["water temperature"]]
    assert [row["text"] for row in rows["ask"]] == [row["text"] for row in rows["question"]]
    last = rows["ask"][-1]
    assert (last["question_id"], last["asked_on"].isoformat()) == (80, "2026-09-20")
    assert last["noted_at"] == rows["question"][-1]["asked_at"]


def test_a_step_back_keeps_the_one_thing_and_opens_what_was_set_aside(tmp_path: Path) -> None:
    url = _snapshot("0020", tmp_path)
    with closing(sqlite3.connect(tmp_path / "0020.db")) as journal:
        journal.execute(
            "UPDATE question SET factors = '[\"dose\"]', state = 'set aside' WHERE id = 1"
        )
        journal.commit()
    downgrade(url, "0019")
    first, *_, several = read_rows(url)["question"]
    assert (first["factor"], first["state"], several["factor"]) == ("dose", "open", "")
