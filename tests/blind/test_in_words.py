"""A – not A and same–different: planned, drawn, served, answered with one of two words, judged."""

from __future__ import annotations

import json
from types import SimpleNamespace
from typing import Any

import pytest
from flask.testing import FlaskClient

from app.database import Database
from app.journal.blind.keys import is_right
from tests.support.asking import ask, tie
from tests.support.blind import (
    ANSWERED,
    CLAIMED,
    PLAN,
    SEEN,
    SERVED,
    blind_test,
    next_trial,
    one_trial,
    planned,
    pour,
    right_places,
    rows,
    trial,
)
from tests.support.factories import Make
from tests.support.page import text

WAYS = {"claim": "these ways of brewing", "brewing": "every cup its own"}
A_NOT_A: dict[str, Any] = {"method": "A-not-A"} | WAYS
SAME: dict[str, Any] = {"method": "same-different"} | WAYS
SHOWN_AFTER = 7  # right answers in a row at which evidence against one half reaches 20


def said(client: FlaskClient, address: str) -> str:
    return text(client.get(address).text)


@pytest.mark.parametrize("brewing", ["one pair", "every cup its own"])
@pytest.mark.parametrize("reminder", [False, True])
def test_one_coded_cup_is_served_and_answered_in_words(
    client: FlaskClient, journal: Database, brewing: str, reminder: bool
) -> None:
    claim = "these cups" if brewing == "one pair" else "these ways of brewing"
    typed = {"method": "A-not-A", "brewing": brewing, "claim": claim}
    test_id = planned(client, **typed, **({"reminder": "y"} if reminder else {}))
    assert blind_test(journal, test_id).reminder == reminder
    trial_id = next_trial(client, test_id)
    row = trial(journal, trial_id)
    assert row.cups in ("A", "B")
    assert len(row.codes) == 3
    client.post(f"/blind/trials/{trial_id}/claim")
    card = said(client, f"/blind/trials/{trial_id}/pour")
    assert row.codes in card
    assert ("Reminder, tasted first" in card) == reminder
    client.post(f"/blind/trials/{trial_id}/served")
    page = client.get(f"/blind/trials/{trial_id}").text
    assert "Is this cup A?" in page
    assert ("known to be A first" in page) == reminder
    for value, words in ((1, "It is A"), (2, "It is not A")):
        assert f'name="place" value="{value}">{words}</button>' in page
    assert "I am sure" not in page
    client.post(f"/blind/trials/{trial_id}/answer", data={"place": "2"})
    row = trial(journal, trial_id)
    assert (row.answer, row.sure) == (2, None)
    verdict = "Right answer" if row.cups == "B" else "Not this time"
    assert f"{verdict}: It is not A" in said(client, f"/blind/trials/{trial_id}")


def test_a_pair_is_served_and_answered_in_words(client: FlaskClient, journal: Database) -> None:
    test_id = planned(client, **SAME)
    trial_id = next_trial(client, test_id)
    pour(client, trial_id)
    page = client.get(f"/blind/trials/{trial_id}").text
    assert "Are the two cups the same?" in page
    assert 'name="place" value="1">The same</button>' in page
    client.post(f"/blind/trials/{trial_id}/answer", data={"place": "1"})
    row = trial(journal, trial_id)
    verdict = "Right answer" if row.cups in ("AA", "BB") else "Not this time"
    assert f"{verdict}: The same" in said(client, f"/blind/trials/{trial_id}")


@pytest.mark.parametrize(
    ("plan", "after"),  # A – not A looks both ways, which takes one more
    [(A_NOT_A, SHOWN_AFTER + 1), (SAME, SHOWN_AFTER)],
    ids=["A – not A", "same–different"],
)
def test_right_answers_in_a_row_end_as_shown(
    client: FlaskClient, journal: Database, plan: dict[str, Any], after: int
) -> None:
    test_id = planned(client, **plan)
    for number in range(1, after + 1):
        assert blind_test(journal, test_id).ended is None, number
        one_trial(client, journal, test_id, right=True)
    assert blind_test(journal, test_id).ended == "shown"


def test_an_answer_that_is_none_of_the_words_is_refused(
    client: FlaskClient, journal: Database
) -> None:
    trial_id = next_trial(client, planned(client, **SAME))
    pour(client, trial_id)
    for place in ("", "0", "3", "A"):
        answer = client.post(f"/blind/trials/{trial_id}/answer", data={"place": place})
        assert answer.status_code == 422
        assert "Please choose an answer." in answer.text
    assert trial(journal, trial_id).answer is None


def test_alone_both_cups_stand_on_the_tray_and_one_is_tasted(
    client: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **A_NOT_A, pouring="solo")
    trial_id = next_trial(client, test_id)
    row = trial(journal, trial_id)
    assert row.cups in ("AB", "BA")
    assert row.codes == ""
    assert "turn the tray until you have lost count" in said(client, f"/blind/trials/{trial_id}")
    client.post(f"/blind/trials/{trial_id}/served")
    assert "the cup on the left of the tray" in said(client, f"/blind/trials/{trial_id}")
    client.post(f"/blind/trials/{trial_id}/answer", data={"place": "1"})
    assert "Now lift the cup you tasted (left)" in said(client, f"/blind/trials/{trial_id}")
    mark = str(row.cups.index("A") + 1)
    client.post(f"/blind/trials/{trial_id}/lift", data={"mark": mark})
    page = said(client, f"/blind/trials/{trial_id}")
    assert "Right answer: It is A" in page
    assert f"Mark {mark}, tasted" in page


def test_a_key_is_right_for_one_word_and_wrong_for_the_other(
    client: FlaskClient, journal: Database
) -> None:
    for plan in (A_NOT_A, SAME):
        test_id = planned(client, **plan)
        trial_id = next_trial(client, test_id)
        assert len(right_places(journal, trial_id)) == 1


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        (SAME | {"pouring": "solo"}, "knows whether its two cups are the same"),
        (SAME | {"brewing": "fresh pair each trial"}, "share its luck"),
        (A_NOT_A | {"brewing": "fresh pair each trial", "reminder": "y"}, "shares the luck"),
        (A_NOT_A | {"claim": "these cups"}, "every trial has other cups"),
        (SAME | {"claim": "these cups"}, "every trial has other cups"),
        (A_NOT_A | {"brewing": "one pair"}, "can only show that these two brews differ"),
        (A_NOT_A | {"controls": "3"}, "there to compare with already"),
        (SAME | {"controls": "3"}, "there to compare with already"),
    ],
)
def test_a_plan_that_cannot_hold_is_refused(
    client: FlaskClient, typed: dict[str, Any], why: str
) -> None:
    answer = client.post("/blind/new", data=PLAN | typed)
    assert answer.status_code == 422
    assert why in " ".join(answer.text.split())


def test_a_reminder_belongs_to_a_not_a_only(client: FlaskClient, journal: Database) -> None:
    assert not blind_test(journal, planned(client, **SAME, reminder="y")).reminder


def test_the_brews_of_a_trial_are_those_that_were_tasted(
    client: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **A_NOT_A, reminder="y")
    trial_id = next_trial(client, test_id)
    pour(client, trial_id)
    client.post(f"/blind/trials/{trial_id}/answer", data={"place": "1"})
    row = trial(journal, trial_id)
    missing = "2 of A" if row.cups == "A" else "1 of A"
    page = said(client, f"/blind/trials/{trial_id}")
    assert f"Not in the journal yet: {missing}" in page or "1 of B, 1 of A" in page


def test_every_word_is_known_to_is_right() -> None:
    for cups, answer, right in (
        ("A", 1, True), ("A", 2, False), ("B", 1, False), ("B", 2, True),
    ):  # fmt: skip
        assert is_right("A-not-A", None, _finished(cups, answer)) == right
    for cups, answer, right in (
        ("AA", 1, True), ("BB", 1, True), ("AB", 1, False), ("BA", 2, True), ("AA", 2, False),
    ):  # fmt: skip
        assert is_right("same-different", None, _finished(cups, answer)) == right


def _finished(cups: str, answer: int) -> Any:
    return SimpleNamespace(pouring="helper", cups=cups, answer=answer, lifted=None)


def test_a_fixed_number_that_is_in_tells_the_distance_and_its_error(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """27 of 40, the last of them right, so that the end was not certain before."""
    cups = ["A"] * 20 + ["B"] * 20
    said_a = [True] * 10 + [False] * 10 + [True] * 3 + [False] * 17
    given = [
        CLAIMED | SERVED | ANSWERED | SEEN | {"cups": cup, "answer": 1 if a else 2, "sure": None}
        for cup, a in zip(cups, said_a, strict=True)
    ]
    plan = {"method": "A-not-A", "rule": "fixed number", "fixed_trials": 40}
    test, _ = rows(make, given, **plan)
    page = said(client, f"/blind/{test.id}")
    assert "“It is A” was said to 10 of 20 cups of A and to 3 of 20 others." in page
    assert "Distance d′ 1.0, standard error 0.4." in page
    assert "no leaning to either answer" in page
    assert "27 times out of 40 whether the cup was A" in page
    going_on, _ = rows(make, given, method="A-not-A")
    page = said(client, f"/blind/{going_on.id}")
    assert "standard error" not in page
    assert "whenever one looks" in page


def test_a_question_and_its_files_tell_of_a_test_in_words(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """Six right of seven: hits and false alarms stand on the test's page, the count in the file."""
    given = [
        CLAIMED | SERVED | ANSWERED | SEEN | {"cups": cup, "answer": answer, "sure": None}
        for cup, answer in zip("ABABABA", (1, 2, 1, 2, 1, 2, 2), strict=True)
    ]
    test, _ = rows(make, given, method="A-not-A", **WAYS)
    address = ask(client)
    tie(client, address, "blind_test", test)
    page = said(client, address)
    assert "A – not A · claim: these ways of brewing" in page
    assert "6 times out of 7 whether the cup was A" in page
    (told,) = json.loads(client.get(f"{address}/export.json").text)["blind_tests"]
    assert (told["method"], told["correct"], told["trials"]) == ("A-not-A", 6, 7)
    assert told["guessing_share"] == 0.5
    assert "6 times out of 7 whether the cup was A" in client.get(f"{address}/export.csv").text


def test_a_test_in_words_goes_to_the_bin_and_comes_back(
    client: FlaskClient, journal: Database
) -> None:
    test_id = planned(client, **A_NOT_A)
    one_trial(client, journal, test_id, right=True)
    client.post(f"/blind/{test_id}/bin")
    assert client.post(f"/blind/{test_id}/next").location == f"/blind/{test_id}"
    client.post(f"/blind/{test_id}/restore")
    assert next_trial(client, test_id)
