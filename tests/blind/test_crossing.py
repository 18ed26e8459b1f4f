"""Two steps of one blind test at the same instant, each in a connection of its own."""

from __future__ import annotations

from datetime import timedelta
from threading import Barrier, Thread

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.blind.open import open_trial
from app.models import BlindTaster
from tests.support.blind import (
    all_trials,
    blind_test,
    next_trial,
    one_trial,
    planned,
    pour,
    right_places,
    rows,
    trial,
)
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.page import text as words

SEVERAL = {"tasting": "several", "more_names": "Hazel"}
PANEL = {
    "tasting": "panel",
    "rule": "fixed number",
    "fixed_trials": "6",
    "more_names": "Hazel, Ilex, Nettle, Olive, Rowan",
}
ROUNDS = 6
STOP = ("stop", {"reason": "no beans"})

Sent = tuple[str, dict[str, str]]


class Table:
    """The app, and requests of several browsers sent in the same instant."""

    def __init__(self, app: Flask) -> None:
        self.app, self.statuses = app, list[int]()

    def at_once(self, *sent: Sent) -> None:
        starts = Barrier(len(sent))
        self.statuses.clear()
        threads = [Thread(target=self._send, args=(starts, *one)) for one in sent]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(30)
        assert not any(thread.is_alive() for thread in threads)
        assert len(self.statuses) == len(sent)
        assert all(status < 500 for status in self.statuses), self.statuses

    def _send(self, starts: Barrier, address: str, typed: dict[str, str]) -> None:
        client = self.app.test_client()
        starts.wait()
        self.statuses.append(client.post(address, data=typed).status_code)


@pytest.fixture
def table(app: Flask) -> Table:
    return Table(app)


def no_ended_test_has_an_open_trial(journal: Database, test_id: int) -> None:
    with Session(journal.reader) as session:
        left = open_trial(session, test_id, NOON)
    test = blind_test(journal, test_id)
    assert test.ended is None or left is None
    for row in all_trials(journal):
        if row.test_id == test_id and test.stopped_at:
            assert row.voided_at or row.answered_at


@pytest.mark.parametrize("what", ["next", "deal", "tasters", "bin"])
def test_a_stop_and_a_draw_cannot_cross(
    client: FlaskClient, table: Table, journal: Database, what: str
) -> None:
    """C13 (a): stop against draw, deal, a taster who joins, and the bin."""
    for _ in range(ROUNDS):
        test_id = planned(client, **SEVERAL)
        typed = {"more_names": "Olive"} if what == "tasters" else {}
        stop = (f"/blind/{test_id}/{STOP[0]}", STOP[1])
        table.at_once((f"/blind/{test_id}/{what}", typed), stop)
        no_ended_test_has_an_open_trial(journal, test_id)
        if what == "tasters" and blind_test(journal, test_id).ended:
            before = seats(journal, test_id)
            client.post(f"/blind/{test_id}/tasters", data={"more_names": "Rowan"})
            assert seats(journal, test_id) == before


def test_a_binned_test_gets_no_trial_from_then_on(
    client: FlaskClient, table: Table, journal: Database
) -> None:
    """C13 (a): bin against draw."""
    for _ in range(ROUNDS):
        test_id = planned(client)
        table.at_once((f"/blind/{test_id}/next", {}), (f"/blind/{test_id}/bin", {}))
        drawn = len(all_trials(journal))
        client.post(f"/blind/{test_id}/next")
        assert len(all_trials(journal)) == drawn


def test_a_panel_dealt_twice_at_once_and_stopped_meanwhile(
    client: FlaskClient, table: Table, journal: Database
) -> None:
    """C13 (a): deal against deal, stop and a taster who joins."""
    for _ in range(3):
        test_id = planned(client, **PANEL)
        deal = (f"/blind/{test_id}/deal", {})
        joins = (f"/blind/{test_id}/tasters", {"more_names": "Yew"})
        table.at_once(deal, deal, joins, (f"/blind/{test_id}/stop", STOP[1]))
        dealt = [row for row in all_trials(journal) if row.test_id == test_id]
        assert len(dealt) in (0, 6)
        assert seats(journal, test_id) == 6
        no_ended_test_has_an_open_trial(journal, test_id)


@pytest.mark.parametrize("what", ["claim", "served", "answer", "void", "reveal"])
def test_a_trial_that_goes_on_and_a_stop_cannot_cross(
    client: FlaskClient, table: Table, journal: Database, what: str
) -> None:
    """C13 (a): claim, serve, answer, void and reveal against stop."""
    for _ in range(ROUNDS):
        test_id = planned(client)
        number = next_trial(client, test_id)
        if what not in ("claim", "served"):
            pour(client, number)
        typed = {"place": "1", "sure": "yes", "reason": "spilled"}
        table.at_once(
            (f"/blind/trials/{number}/{what}", typed), (f"/blind/{test_id}/stop", STOP[1])
        )
        no_ended_test_has_an_open_trial(journal, test_id)


def test_a_trial_answered_and_voided_at_once_is_one_of_both(
    client: FlaskClient, table: Table, journal: Database
) -> None:
    """C13 (a): answer against void."""
    for _ in range(ROUNDS):
        number = next_trial(client, planned(client))
        pour(client, number)
        answer = {"place": "1", "sure": "yes"}
        page = f"/blind/trials/{number}"
        table.at_once((f"{page}/answer", answer), (f"{page}/void", {"reason": "spilled"}))
        row = trial(journal, number)
        assert (row.answered_at is None) != (row.voided_at is None)


def test_the_answer_that_meets_the_rule_waits_for_the_other_tasters(
    app: Flask, client: FlaskClient, journal: Database
) -> None:
    """C13 (a): no test ends with an open trial, and none is drawn once its rule is met."""
    test_id = planned(client, **SEVERAL, rule="fixed number", fixed_trials="6")
    juniper, hazel = (row.taster_id for row in seats_of(journal, test_id))
    waits = next_trial(client, test_id, taster_id=hazel)
    pour(client, waits)
    for _ in range(5):
        one_trial(client, journal, test_id, right=True)
    assert blind_test(journal, test_id).ended is None
    page = words(client.get(f"/blind/{test_id}").text)
    assert "The rule is met: the test ends once its open trials are answered or void" in page
    client.post(f"/blind/{test_id}/next", data={"taster_id": juniper})
    assert len(all_trials(journal)) == 6
    assert "The rule of this test is met" in words(client.get(f"/blind/{test_id}").text)
    app.config["CLOCK"] = lambda: NOON + timedelta(minutes=1)
    wrong = next(place for place in (1, 2, 3) if place not in right_places(journal, waits))
    client.post(f"/blind/trials/{waits}/answer", data={"place": wrong, "sure": "yes"})
    test = blind_test(journal, test_id)
    assert test.ended == "shown"
    page = words(client.get(f"/blind/{test_id}").text)
    assert "5 of 5 right" in page
    assert "1 more answer came after the end and is not counted" in page


def test_a_void_trial_can_be_the_last_that_a_met_rule_waits_for(
    client: FlaskClient, journal: Database
) -> None:
    """C13 (a): the end comes with the last open trial, however that is closed."""
    test_id = planned(client, **SEVERAL, rule="fixed number", fixed_trials="6")
    _, hazel = (row.taster_id for row in seats_of(journal, test_id))
    waits = next_trial(client, test_id, taster_id=hazel)
    for _ in range(5):
        one_trial(client, journal, test_id, right=True)
    client.post(f"/blind/trials/{waits}/void", data={"reason": "had to leave"})
    assert blind_test(journal, test_id).ended == "shown"


def test_the_database_refuses_a_trial_of_an_ended_test(make: Make, journal: Database) -> None:
    """C13 (a): from whatever program it comes."""
    test, (row,) = rows(make, [{"voided_at": NOON, "void_reason": "spilled"}], ended="stopped",
                        stopped_at=NOON)  # fmt: skip
    sql = (
        "INSERT INTO trial (test_id, taster_id, number, pouring, warm_up, is_control, cups, codes,"
        " drawn_at, note, void_reason) SELECT test_id, taster_id, 9, pouring, warm_up, is_control,"
        " cups, codes, drawn_at, '', '' FROM trial WHERE id = :id"
    )
    with (
        pytest.raises(IntegrityError, match="gets no more trials"),
        Session(journal.writer) as session,
        session.begin(),
    ):
        session.execute(text(sql), {"id": row.id})
    assert [one.test_id for one in all_trials(journal)] == [test.id]


def seats_of(journal: Database, test_id: int) -> list[BlindTaster]:
    with Session(journal.reader) as session:
        query = session.query(BlindTaster).filter_by(test_id=test_id).order_by(BlindTaster.id)
        return list(query)


def seats(journal: Database, test_id: int) -> int:
    return len(seats_of(journal, test_id))
