"""What the seal does not cover stands on the test, under its question and in its files."""

from __future__ import annotations

import csv
import json
from datetime import timedelta
from io import StringIO
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.database import Database
from app.models import Brew
from app.web.security import open_to_network
from tests.support import page
from tests.support.blind import (
    ANSWERED,
    CLAIMED,
    SEEN,
    SERVED,
    next_trial,
    one_trial,
    planned,
    pour,
    rows,
    trial,
)
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.phone import MACHINE, PHONE, Phone, new_code

DONE = CLAIMED | SERVED | ANSWERED | SEEN
LATER = NOON + timedelta(days=3)
ONE_DEVICE = "on one device or from one network address"


def said(client: FlaskClient, test_id: int) -> str:
    return page.text(client.get(f"/blind/{test_id}").text)


def change(client: FlaskClient, brew: Brew, **typed: Any) -> None:
    address = f"/brews/{brew.id}/edit"
    values = page.filled(client.get(address).text, holding="dose_g", **typed)
    assert client.post(address, data=values).status_code == 303


def under_a_question(client: FlaskClient, test_id: int) -> tuple[str, dict[str, Any], Any]:
    """The test as it stands on the page of a question, in its JSON and in its table."""
    about = {"text": "Can we taste it?", "factor": "filter"}
    address = client.post("/questions/new", data=about).location
    number = address.rsplit("/", 1)[1]
    tie = {"question_id": number, "kind": "blind_test", "row_id": test_id, "back": "question"}
    client.post("/questions/tie", data=tie)
    (told,) = json.loads(client.get(f"{address}/export.json").text)["blind_tests"]
    table = csv.DictReader(StringIO(client.get(f"{address}/export.csv").text))
    (row,) = [row for row in table if row["kind"] == "blind test"]
    return page.text(client.get(address).text), told, row


@pytest.fixture
def later(app: Flask) -> None:
    """Three days after the rows of `DONE` were answered."""
    app.config["CLOCK"] = lambda: LATER


@pytest.mark.usefixtures("later")
def test_a_brew_changed_or_binned_after_the_answer_is_a_mark(
    client: FlaskClient, make: Make
) -> None:
    """C13 (c): which brew, when, and what changed; on the test, its question and its files."""
    a, b = make.brew(dose_g=15.0), make.brew()
    test, _ = rows(make, [DONE], a_brew_id=a.id, b_brew_id=b.id)
    other, _ = rows(make, [DONE], a_brew_id=b.id)
    assert "Marked" not in said(client, test.id)
    change(client, a, dose_g="30")
    client.post(f"/brews/{b.id}/bin")
    dose = f"Brew {a.id} was changed (dose: 15 g, then 30 g) after this test was answered."
    binned = f"Brew {b.id} was put in the bin after this test was answered."
    shown = said(client, test.id)
    assert f"Marked: {dose}" in shown
    assert f"Marked: {binned}" in shown
    assert dose not in said(client, other.id)
    assert binned in said(client, other.id)
    question, told, row = under_a_question(client, test.id)
    assert dose in question
    assert dose in told["does_not_say"]
    assert told["marks"] == [f"2026-09-18T12:00:00Z: {text}" for text in (dose, binned)]
    assert binned in row["marks"]
    assert binned in row["does_not_say"]
    client.post(f"/brews/{b.id}/restore")
    assert f"Brew {b.id} was taken out of the bin" in said(client, test.id)
    assert binned in said(client, test.id)


def test_what_was_changed_before_the_first_answer_is_none(
    app: Flask, client: FlaskClient, make: Make
) -> None:
    """C13 (c): nor is a note, nor a test that nobody has answered."""
    brew = make.brew(dose_g=15.0)
    test, _ = rows(make, [DONE | {"answered_at": LATER, "served_at": NOON}], a_brew_id=brew.id)
    unanswered, _ = rows(make, [CLAIMED], a_brew_id=brew.id)
    change(client, brew, dose_g="30")
    app.config["CLOCK"] = lambda: LATER + timedelta(days=1)
    change(client, brew, note="rounder than it looks")
    assert "Marked" not in said(client, test.id)
    change(client, brew, dose_g="31")
    assert "dose: 30 g, then 31 g" in said(client, test.id)
    assert "Marked" not in said(client, unanswered.id)


def test_a_brew_tied_to_a_trial_is_one_of_the_tests_brews(
    app: Flask, client: FlaskClient, make: Make
) -> None:
    """C13 (c): also where the plan names no brew."""
    test, (answered,) = rows(make, [DONE], brewing="fresh pair each trial")
    brew = make.brew(dose_g=15.0, brewed_at=NOON)
    client.post(f"/blind/trials/{answered.id}/brews", data={"cup": "A", "brew_id": brew.id})
    app.config["CLOCK"] = lambda: LATER
    change(client, brew, dose_g="30")
    assert "dose: 15 g, then 30 g" in said(client, test.id)
    client.post(f"/blind/trials/{answered.id}/brews/{brew.id}/untie")
    assert "dose: 15 g" not in said(client, test.id)


def test_a_use_that_moves_after_the_answer_is_a_mark(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """C13 (c): an earlier brew that is binned or entered late renumbers the uses after it."""
    cloth = make.filter(make.pack(material="cloth"))
    first, _, third = (make.brew(filters=[cloth]) for _ in range(3))
    named = planned(client, b_brew_id=str(third.id))
    by_use = planned(client, b_filter_id=str(cloth.id), b_filter_use="3")
    for test_id in (named, by_use):
        one_trial(client, journal, test_id, right=True)
        assert "of its filter" not in said(client, test_id)
    client.post(f"/brews/{first.id}/bin")
    moved = f"Brew {third.id} was use 3 of its filter, and is counted as use 2 now."
    assert moved in said(client, named)
    assert moved in said(client, by_use)
    client.post(f"/brews/{first.id}/restore")
    assert moved not in said(client, named)


def test_poured_and_tasted_in_two_windows_of_one_machine_is_a_mark(
    app: Flask, client: FlaskClient, journal: Database
) -> None:
    """C13 (d): a private window has other cookies and the same address."""
    test_id = planned(client)
    number = next_trial(client, test_id)
    pour(app.test_client(), number)
    client.post(f"/blind/trials/{number}/answer", data={"place": "1", "sure": "yes"})
    row = trial(journal, number)
    assert row.poured_by != row.answered_by
    shown = said(client, test_id)
    assert f"1 of 1 was poured and answered {ONE_DEVICE}" in shown
    assert "· on one device" in shown


def test_poured_on_the_machine_and_tasted_on_a_phone_is_none(
    app: Flask, client: FlaskClient, journal: Database
) -> None:
    """C13 (d): two addresses are two devices; one phone with two browsers is one."""
    open_to_network(app, [MACHINE])
    test_id = planned(client)
    phone, private = Phone(app), Phone(app)
    for one in (phone, private):
        assert one.pair(new_code(client)).status_code == 303
    for pourer in (client, private):
        number = next_trial(client, test_id)
        for what in ("claim", "served"):
            path = f"/blind/trials/{number}/{what}"
            sent = client.post(path) if pourer is client else private.ask(path, "POST")
            assert sent.status_code == 303
        answer = {"place": "1", "sure": "yes"}
        phone.ask(f"/blind/trials/{number}/answer", "POST", data=answer)
        row = trial(journal, number)
        assert row.answered_from == PHONE
        assert (row.poured_from == PHONE) == (pourer is private)
        assert (ONE_DEVICE in said(client, test_id)) == (pourer is private)
    assert f"1 of 2 was poured and answered {ONE_DEVICE}" in said(client, test_id)


def test_solo_is_one_device_by_design(client: FlaskClient, make: Make) -> None:
    solo = SERVED | ANSWERED | SEEN | {"lifted": "1", "codes": "", "answered_from": "127.0.0.1"}
    test, _ = rows(make, [solo], pouring="solo")
    assert "Marked" not in said(client, test.id)


def test_void_trials_stand_in_the_verdict_and_in_the_files(client: FlaskClient, make: Make) -> None:
    """C13 (e): how many, why, and how many of them once a key could be seen."""
    void = {"voided_at": NOON, "void_reason": "the phone rang."}
    spilled = {"voided_at": NOON, "void_reason": "spilled"}
    trials = [DONE, void, CLAIMED | void, CLAIMED | SERVED | spilled, spilled | {"warm_up": True}]
    test, _ = rows(make, trials)
    voids = "3 trials are void and not counted (the phone rang; spilled). 2 were given up after"
    assert voids in said(client, test.id)
    question, told, row = under_a_question(client, test.id)
    assert voids in question
    assert voids in told["says"]
    assert (told["void_trials"], told["void_reasons"]) == (
        3, ["the phone rang.", "the phone rang.", "spilled"],
    )  # fmt: skip
    assert (row["void_trials"], row["void_reasons"]) == (
        "3", "the phone rang.; the phone rang.; spilled",
    )  # fmt: skip


def test_a_test_without_void_trials_says_nothing_of_them(client: FlaskClient, make: Make) -> None:
    test, _ = rows(make, [DONE])
    assert "void and not counted" not in said(client, test.id)
    _, told, _ = under_a_question(client, test.id)
    assert (told["void_trials"], told["void_reasons"], told["marks"]) == (0, [], [])


def test_a_panel_that_hides_its_results_shows_its_marks(client: FlaskClient, make: Make) -> None:
    """C13 (c, e): they tell nothing of a key."""
    brew = make.brew(dose_g=15.0)
    panel = {"balanced": True, "several_tasters": True, "rule": "fixed number", "fixed_trials": 6}
    void = {"voided_at": NOON, "void_reason": "spilled"}
    test, _ = rows(make, [DONE | {"seen_at": None}, void], a_brew_id=brew.id, **panel)
    change(client, brew, dose_g="30")
    shown = said(client, test.id)
    assert "Nobody learns a result before the end" in shown
    assert "dose: 15 g, then 30 g" in shown
    assert "1 trial is void and not counted (spilled)." in shown
