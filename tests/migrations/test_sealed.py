"""What was drawn and answered in a blind test stays: the database itself refuses a change.

Direct SQL on both databases, as a program of any kind could send it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import Engine, create_engine, text
from sqlalchemy.exc import IntegrityError

from app.database import Database
from app.models import BlindTaster, BlindTest, Taster, Trial
from app.schema import downgrade, upgrade
from tests.support.clock import NOON
from tests.support.factories import Make

LATER = NOON + timedelta(minutes=5)
PLAN = {
    "entry_key": "one",
    "title": "Used papers",
    "made_at": NOON,
    "a_words": "fresh paper",
    "b_words": "third use",
    "claim": "these cups",
    "brewing": "fresh pair each trial",
    "method": "triangle",
    "pouring": "helper",
    "rule": "every morning",
    "p_d": 0.4,
}
SEALED: dict[str, Any] = {
    "id": 900,
    "test_id": 2,
    "taster_id": 99,
    "number": 77,
    "pouring": "coded",
    "warm_up": True,
    "is_control": True,
    "cups": "BBA",
    "codes": "111 222 333",
    "brewed_first": "B",
    "drawn_at": LATER,
}
ANSWERED: dict[str, Any] = {
    "claimed_at": LATER,
    "poured_by": "f" * 64,
    "served_at": LATER,
    "answered_at": LATER,
    "answered_by": "e" * 64,
    "answer": 2,
    "sure": False,
    "seen_at": LATER,
}


class Sealed:
    """A test with an answered trial (1), one poured but not answered (2), and one voided (3)."""

    def __init__(self, journal: Database) -> None:
        self.engine: Engine = journal.writer
        make = Make(journal)
        self.test = make.save(BlindTest(**PLAN))
        self.empty = make.save(BlindTest(**PLAN | {"entry_key": "two"}))
        tasters = [make.save(Taster(name=name)) for name in ("Juniper", "Rowan", "Fern")]
        for taster in tasters:
            make.save(BlindTaster(test_id=self.test.id, taster_id=taster.id, joined_at=NOON))
        make.save(BlindTaster(test_id=self.empty.id, taster_id=tasters[1].id, joined_at=NOON))
        poured = {"claimed_at": NOON, "poured_by": "a" * 64, "served_at": NOON}
        answered = {"answered_at": NOON, "answered_by": "b" * 64, "answer": 3, "sure": True}
        void = {"voided_at": NOON, "void_reason": "spilled"}
        stages = [poured | answered | {"seen_at": NOON}, poured, poured | void]
        for number, (taster, stage) in enumerate(zip(tasters, stages, strict=True), start=1):
            drawn = {"test_id": self.test.id, "taster_id": taster.id, "number": number}
            sealed = {"pouring": "helper", "cups": "AAB", "codes": "483 157 926", "drawn_at": NOON}
            make.save(Trial(**drawn | sealed | stage))

    def send(self, sql: str, **values: Any) -> None:
        with self.engine.begin() as connection:
            connection.execute(text(sql), {name: _plain(value) for name, value in values.items()})

    def refuses(self, sql: str, says: str, **values: Any) -> None:
        with pytest.raises(IntegrityError, match=says):
            self.send(sql, **values)

    def rows(self, sql: str) -> list[Any]:
        with self.engine.begin() as connection:
            return list(connection.execute(text(sql)))


def _plain(value: Any) -> Any:
    return value.isoformat(sep=" ") if isinstance(value, datetime) else value


@pytest.fixture(params=["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)])
def url(request: pytest.FixtureRequest) -> str:
    if request.param == "postgres":
        address: str = request.getfixturevalue("postgres_url")
        return address
    return str(request.getfixturevalue("sqlite_config").url)


@pytest.fixture
def sealed(url: str) -> Iterator[Sealed]:
    journal = Database(url)
    yield Sealed(journal)
    journal.dispose()


@pytest.mark.parametrize("trial", [1, 2, 3])
def test_what_was_drawn_never_changes(sealed: Sealed, trial: int) -> None:
    for column, value in SEALED.items():
        sql = f"UPDATE trial SET {column} = :value WHERE number = {trial}"
        sealed.refuses(sql, "key and answer stay", value=value)


def test_what_was_answered_never_changes(sealed: Sealed) -> None:
    for column, value in ANSWERED.items():
        sql = f"UPDATE trial SET {column} = :value WHERE number = 1"
        sealed.refuses(sql, "key and answer stay", value=value)
        sealed.refuses(sql, "key and answer stay", value=None)


def test_an_answered_trial_cannot_be_voided(sealed: Sealed) -> None:
    sql = "UPDATE trial SET voided_at = :at, void_reason = 'it was wrong' WHERE number = 1"
    sealed.refuses(sql, "void_before_answer|CHECK", at=LATER)


def test_a_voided_trial_stays_voided_and_can_never_be_answered(sealed: Sealed) -> None:
    reopened = "UPDATE trial SET voided_at = NULL, void_reason = '' WHERE number = 3"
    sealed.refuses(reopened, "key and answer stay")
    sealed.refuses("UPDATE trial SET void_reason = 'other' WHERE number = 3", "stay")
    late = "UPDATE trial SET answered_at = :at, answer = 1 WHERE number = 3"
    sealed.refuses(late, "key and answer stay", at=LATER)


def test_nobody_else_can_claim_a_poured_trial(sealed: Sealed) -> None:
    sql = "UPDATE trial SET poured_by = :hash WHERE number = 2"
    sealed.refuses(sql, "key and answer stay", hash="c" * 64)


def test_a_key_cannot_be_shown_before_the_answer(sealed: Sealed) -> None:
    sealed.refuses(
        "UPDATE trial SET seen_at = :at WHERE number = 2", "answered_before_key", at=NOON
    )


def test_an_answer_and_a_note_still_get_in(sealed: Sealed) -> None:
    answered = "UPDATE trial SET answered_at = :at, answer = 1, sure = true WHERE number = 2"
    sealed.send(answered, at=LATER)
    sealed.send("UPDATE trial SET seen_at = :at, note = 'close' WHERE number = 2", at=LATER)
    sealed.send("UPDATE trial SET note = 'hoarse' WHERE number IN (1, 3)")
    rows = sealed.rows("SELECT answer, note FROM trial ORDER BY number")
    assert [tuple(row) for row in rows] == [(3, "hoarse"), (1, "close"), (None, "hoarse")]


def test_no_trial_is_deleted(sealed: Sealed) -> None:
    for where in ("number = 1", "number = 2", "number = 3", "true"):
        sealed.refuses(f"DELETE FROM trial WHERE {where}", "cannot be deleted")
    assert len(sealed.rows("SELECT id FROM trial")) == 3


def test_no_trial_is_put_in_the_place_of_another(sealed: Sealed) -> None:
    if sealed.engine.dialect.name == "postgresql":
        sealed.refuses("TRUNCATE trial CASCADE", "cannot be deleted")
        return
    columns = (
        "test_id, taster_id, pouring, warm_up, is_control, cups, codes, drawn_at, note, void_reason"
    )
    for place, number, taster in (("id", 50, 1), ("NULL", 1, 1), ("NULL", 51, 2)):
        new = columns.replace("taster_id", str(taster))
        sealed.refuses(
            f"INSERT OR REPLACE INTO trial (id, number, {columns}) "
            f"SELECT {place}, {number}, {new} FROM trial WHERE number = 1",
            "cannot be deleted",
        )


def test_a_plan_with_trials_stays_and_one_without_may_change(sealed: Sealed) -> None:
    changes: dict[str, Any] = {
        "a_words": "other",
        "claim": "these ways of brewing",
        "brewing": "every cup its own",
        "method": "tetrad",
        "p_d": 0.5,
        "control_in": 3,
        "several_tasters": True,
    }
    for column, value in changes.items():
        sql = f"UPDATE blind_test SET {column} = :value WHERE id = :test"
        sealed.refuses(sql, "plan of a blind test", value=value, test=sealed.test.id)
        sealed.send(sql, value=value, test=sealed.empty.id)


def test_a_rule_cannot_be_chosen_after_the_first_trial(sealed: Sealed) -> None:
    sql = "UPDATE blind_test SET rule = 'fixed number', fixed_trials = 18 WHERE id = :test"
    sealed.refuses(sql, "plan of a blind test", test=sealed.test.id)


def test_a_stopped_test_stays_stopped(sealed: Sealed) -> None:
    ended = "UPDATE blind_test SET ended = 'stopped', stopped_at = :at, stopped_why = 'no beans'"
    sealed.send(ended, at=NOON)
    open_again = "UPDATE blind_test SET ended = NULL, stopped_at = NULL, stopped_why = ''"
    sealed.refuses(open_again, "plan of a blind test")
    sealed.refuses("UPDATE blind_test SET ended = 'shown', stopped_why = ''", "plan of a blind")
    sealed.send("UPDATE blind_test SET title = 'Papers', note = 'n', binned_at = :at", at=NOON)


def test_a_test_with_trials_is_not_deleted(sealed: Sealed) -> None:
    for child in ("blind_taster WHERE test_id = :test", "blind_test WHERE id = :test"):
        with pytest.raises(IntegrityError):
            sealed.send(f"DELETE FROM {child}", test=sealed.test.id)
    sealed.send("DELETE FROM blind_taster WHERE test_id = :test", test=sealed.empty.id)
    sealed.send("DELETE FROM blind_test WHERE id = :test", test=sealed.empty.id)


def test_a_trial_that_cannot_be_is_refused(sealed: Sealed) -> None:
    plain: dict[str, Any] = {
        "test_id": sealed.empty.id,
        "taster_id": sealed.rows("SELECT taster_id FROM trial WHERE number = 2")[0][0],
        "number": 1,
        "pouring": "helper",
        "cups": "AAB",
        "drawn_at": NOON,
    }
    for column, value in (
        ("cups", "ABC"),
        ("cups", "C"),
        ("cups", ""),
        ("pouring", "guest"),
        ("answer", 1),
        ("seen_at", NOON),
        ("number", 0),
    ):
        given = plain | {column: value}
        named = ", ".join(f":{name}" for name in given)
        sealed.refuses(
            f"INSERT INTO trial ({', '.join(given)}, warm_up, is_control, codes, note, void_reason)"
            f" VALUES ({named}, false, false, '', '', '')",
            "ck_trial|CHECK",
            **given,
        )


def test_one_step_down_takes_everything_along_and_up_again_brings_it_back(url: str) -> None:
    def kept() -> list[str]:
        engine = create_engine(url)
        with engine.connect() as connection:
            if engine.dialect.name == "sqlite":
                sql = "SELECT name FROM sqlite_master WHERE type = 'trigger' ORDER BY name"
            else:
                sql = "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal ORDER BY tgname"
            found = [str(name) for (name,) in connection.execute(text(sql))]
            if engine.dialect.name == "postgresql":
                functions = "SELECT count(*) FROM pg_proc WHERE proname LIKE 'trial\\_%'"
                left = connection.execute(text(functions)).scalar()
                found += ["a function"] * bool(left)
        engine.dispose()
        return found

    before = kept()
    assert "trial_kept" in before
    downgrade(url, "0002")
    assert kept() == []
    upgrade(url)
    assert kept() == before
