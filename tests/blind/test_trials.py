"""Trials: sealed before anything is shown, answered once, counted always, void with a reason."""

from __future__ import annotations

import re
from collections.abc import Callable
from threading import Thread
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.database import Database
from app.models import Trial
from tests.support.blind import (
    ANSWERED,
    CLAIMED,
    SEEN,
    SERVED,
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
from tests.support.factories import Make
from tests.support.page import text


@pytest.fixture
def helper(app: Flask) -> FlaskClient:
    """The browser of the person who pours."""
    return app.test_client()


def said(client: FlaskClient, address: str) -> str:
    return text(client.get(address).text)


def test_a_trial_is_sealed_before_anything_is_shown(client: FlaskClient, journal: Database) -> None:
    test = planned(client)
    drawn = trial(journal, next_trial(client, test))
    assert sorted(drawn.cups) in (list("AAB"), list("ABB"))
    assert len(set(drawn.codes.split())) == 3
    assert drawn.served_at is None
    assert drawn.answered_at is None


def test_who_pours_sees_the_key_and_nobody_else_ever(
    client: FlaskClient, helper: FlaskClient, journal: Database
) -> None:
    number = next_trial(client, planned(client))
    card = f"/blind/trials/{number}/pour"
    assert "Only for the person who pours" in said(helper, card)
    answer = helper.post(f"/blind/trials/{number}/claim")
    cookie = answer.headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    page = said(helper, card)
    assert "Serving card" in page
    letters = [page.split(f"{code} ")[1] for code in trial(journal, number).codes.split()]
    shown = "".join(part.split("Cup ")[1][0] for part in letters)
    assert shown == trial(journal, number).cups
    assert client.post(f"/blind/trials/{number}/claim").status_code == 303
    refused = client.get(card)
    assert refused.status_code == 403
    assert "Serving card" not in refused.text
    kept = trial(journal, number)
    assert kept.poured_by not in (None, cookie)
    assert str(kept.poured_by) not in cookie


def test_once_covered_the_card_is_gone_for_the_pourer_too(
    client: FlaskClient, helper: FlaskClient
) -> None:
    number = next_trial(client, planned(client))
    helper.post(f"/blind/trials/{number}/claim")
    assert helper.post(f"/blind/trials/{number}/served").status_code == 303
    page = said(helper, f"/blind/trials/{number}/pour")
    assert "Covered" in page
    assert "Serving card" not in page


def test_only_who_pours_can_say_that_it_is_served(
    client: FlaskClient, helper: FlaskClient, journal: Database
) -> None:
    number = next_trial(client, planned(client))
    client.post(f"/blind/trials/{number}/served")
    assert trial(journal, number).served_at is None
    helper.post(f"/blind/trials/{number}/claim")
    client.post(f"/blind/trials/{number}/served")
    assert trial(journal, number).served_at is None


def test_no_answer_before_it_is_served(client: FlaskClient, journal: Database) -> None:
    number = next_trial(client, planned(client))
    client.post(f"/blind/trials/{number}/answer", data={"place": "1", "sure": "yes"})
    assert trial(journal, number).answered_at is None
    assert "not poured yet" in said(client, f"/blind/trials/{number}")


def test_the_answer_is_kept_and_then_the_key_is_shown(
    client: FlaskClient, helper: FlaskClient, journal: Database
) -> None:
    number = next_trial(client, planned(client))
    pour(helper, number)
    (right,) = right_places(journal, number)
    typed = {"place": str(right), "sure": "no", "note": "rounder"}
    answer = client.post(f"/blind/trials/{number}/answer", data=typed)
    assert answer.location == f"/blind/trials/{number}"
    kept = trial(journal, number)
    assert (kept.answer, kept.sure, kept.note) == (right, False, "rounder")
    assert kept.seen_at is not None
    assert kept.answered_by != kept.poured_by
    page = said(client, answer.location)
    assert f"Right answer: {kept.codes.split()[right - 1]}" in page
    assert "1 time out of 1" in page


def test_poured_and_answered_on_one_device_is_said(client: FlaskClient, journal: Database) -> None:
    test = planned(client)
    one_trial(client, journal, test, right=True)
    assert "on one device" in said(client, f"/blind/{test}")


def test_an_answer_without_a_cup_is_asked_for_again(client: FlaskClient) -> None:
    number = next_trial(client, planned(client))
    pour(client, number)
    answer = client.post(f"/blind/trials/{number}/answer", data={"sure": "yes", "note": "hm"})
    assert answer.status_code == 422
    assert "Please choose an answer." in answer.text
    assert ">hm</textarea>" in answer.text.replace("\r\n", "")


def test_a_double_tap_keeps_the_first_answer(client: FlaskClient, journal: Database) -> None:
    test = planned(client)
    number = next_trial(client, test)
    pour(client, number)
    for place in ("1", "2", "3"):
        client.post(f"/blind/trials/{number}/answer", data={"place": place, "sure": "yes"})
    assert trial(journal, number).answer == 1
    assert "that answer stands" in said(client, f"/blind/trials/{number}")
    assert "of 1 right" in said(client, f"/blind/{test}")


def test_of_many_answers_at_once_one_is_kept(app: Flask, journal: Database) -> None:
    client = app.test_client()
    number = next_trial(client, planned(client))
    pour(client, number)

    def send(place: int) -> None:
        typed = {"place": str(place % 3 + 1), "note": f"tap {place}"}
        app.test_client().post(f"/blind/trials/{number}/answer", data=typed)

    taps = [Thread(target=send, args=(place,)) for place in range(8)]
    for tap in taps:
        tap.start()
    for tap in taps:
        tap.join()
    kept = trial(journal, number)
    assert kept.note == f"tap {int(kept.note[4:])}"
    assert kept.answer == int(kept.note[4:]) % 3 + 1


def test_leaving_half_way_and_coming_back_goes_on_with_the_same_trial(
    client: FlaskClient, app: Flask, journal: Database
) -> None:
    test = planned(client)
    number = next_trial(client, test)
    assert next_trial(client, test) == number
    pour(client, number)
    again = app.test_client()
    assert next_trial(again, test) == number
    assert "Which is the odd one?" in said(again, f"/blind/trials/{number}")
    assert len(all_trials(journal)) == 1


def unchanged(journal: Database, number: int) -> dict[str, Any]:
    row = trial(journal, number)
    return {column.key: getattr(row, column.key) for column in Trial.__table__.columns}


def test_no_form_changes_an_answered_trial(
    client: FlaskClient, helper: FlaskClient, journal: Database
) -> None:
    test = planned(client)
    number = one_trial(client, journal, test, right=False)
    before = unchanged(journal, number)
    forms: dict[str, dict[str, str]] = {
        "answer": {"place": "1", "sure": "yes", "note": "no, this"},
        "lift": {"mark": "1"},
        "void": {"reason": "it was wrong"},
        "claim": {},
        "served": {},
        "reveal": {},
    }
    for who in (client, helper):
        for step, typed in forms.items():
            assert who.post(f"/blind/trials/{number}/{step}", data=typed).status_code < 500
    client.post(f"/blind/{test}/edit", data={"title": "x", "pouring": "coded"})
    assert unchanged(journal, number) == before


def test_a_trial_is_void_only_before_the_answer_and_with_a_reason(
    client: FlaskClient, journal: Database
) -> None:
    test = planned(client)
    number = next_trial(client, test)
    assert client.post(f"/blind/trials/{number}/void", data={"reason": " "}).status_code == 422
    assert trial(journal, number).voided_at is None
    client.post(f"/blind/trials/{number}/void", data={"reason": "cat on the table"})
    page = said(client, f"/blind/{test}")
    assert "cat on the table" in page
    assert "No trial yet: nothing is known." in page
    pour(client, number)
    client.post(f"/blind/trials/{number}/answer", data={"place": "1", "sure": "yes"})
    assert trial(journal, number).answered_at is None
    another = next_trial(client, test)
    assert trial(journal, another).number == 2


def test_a_control_is_a_trial_like_any_other_until_it_is_answered(
    client: FlaskClient, helper: FlaskClient, make: Make, journal: Database
) -> None:
    fixed = {"rule": "fixed number", "fixed_trials": 18, "control_in": 3}
    plan = fixed | {"claim": "these ways of brewing", "brewing": "fresh pair each trial"}
    test, (control,) = rows(make, [{"cups": "ABA", "is_control": True}], **plan)
    helper.post(f"/blind/trials/{control.id}/claim")
    card = said(helper, f"/blind/trials/{control.id}/pour")
    assert "Brew A (fresh paper) twice" in card
    assert "Cup B" not in card
    helper.post(f"/blind/trials/{control.id}/served")
    client.post(f"/blind/trials/{control.id}/answer", data={"place": "2", "sure": "yes"})
    assert "This was a trial of A against A" in said(client, f"/blind/trials/{control.id}")
    page = said(client, f"/blind/{test.id}")
    assert "0 of 0 right with A against B" in page
    assert "A against A" in page


def test_fault_15_as_many_controls_are_drawn_as_were_planned_and_no_more(
    client: FlaskClient, journal: Database
) -> None:
    """By odds before: of 12 trials at one in three, 4 to 13 others were A against A."""
    fresh = {"claim": "these ways of brewing", "brewing": "fresh pair each trial"}
    controlled = {"rule": "fixed number", "fixed_trials": "8", "controls": "4"}
    seen = []
    for _ in range(6):
        test = planned(client, **fresh, **controlled)
        void = next_trial(client, test)
        client.post(f"/blind/trials/{void}/void", data={"reason": "spilled"})
        while (drawn := client.post(f"/blind/{test}/next").location) != f"/blind/{test}":
            number = int(drawn.rsplit("/", 1)[1])
            pour(client, number)
            client.post(f"/blind/trials/{number}/answer", data={"place": "1", "sure": "yes"})
        kept = [row for row in all_trials(journal) if row.test_id == test and not row.voided_at]
        seen.append("".join("c" if row.is_control else "r" for row in kept))
    assert {(order.count("r"), order.count("c")) for order in seen} == {(8, 4)}
    assert len(set(seen)) > 1, "mixed in by lot"


def test_nobody_learns_which_were_a_against_a_before_the_end(
    client: FlaskClient, journal: Database
) -> None:
    test = planned(client, rule="fixed number", fixed_trials="6", controls="2")
    for _ in range(8):
        page = client.get(f"/blind/{test}").text
        assert "A only" not in page
        assert not {"right", "wrong"} & set(re.findall(r'class="tag[^"]*">(\w+)<', page))
        number = next_trial(client, test)
        pour(client, number)
        good = right_places(journal, number)[0]
        client.post(f"/blind/trials/{number}/answer", data={"place": good, "sure": "yes"})
        if blind_test(journal, test).ended:
            break
        assert "Results are shown when the test has ended" in said(
            client, f"/blind/trials/{number}"
        )
    assert blind_test(journal, test).ended == "shown"


def test_a_warm_up_is_shown_and_not_counted(client: FlaskClient, journal: Database) -> None:
    test = planned(client)
    number = next_trial(client, test, warm_up="1")
    pour(client, number)
    assert "not counted" in said(client, f"/blind/trials/{number}")
    client.post(f"/blind/trials/{number}/answer", data={"place": "1", "sure": "yes"})
    drawn = trial(journal, number)
    assert drawn.warm_up
    assert not drawn.is_control
    assert "No trial yet: nothing is known." in said(client, f"/blind/{test}")


def solo_steps(client: FlaskClient, test: int, place: int, mark: str) -> int:
    number = next_trial(client, test)
    client.post(f"/blind/trials/{number}/served")
    client.post(f"/blind/trials/{number}/answer", data={"place": str(place), "sure": "yes"})
    client.post(f"/blind/trials/{number}/lift", data={"mark": mark})
    return number


def test_solo_the_place_is_kept_first_and_then_the_mark_is_read(
    client: FlaskClient, journal: Database
) -> None:
    test = planned(client, pouring="solo")
    number = next_trial(client, test)
    card = said(client, f"/blind/trials/{number}")
    assert all(f"Mark {mark}" in card for mark in (1, 2, 3))
    client.post(f"/blind/trials/{number}/lift", data={"mark": "1"})
    assert trial(journal, number).lifted is None
    client.post(f"/blind/trials/{number}/served")
    assert "Mark 1" not in said(client, f"/blind/trials/{number}")
    client.post(f"/blind/trials/{number}/answer", data={"place": "3", "sure": "yes"})
    page = said(client, f"/blind/trials/{number}")
    assert "Your answer is kept: far right" in page
    assert "Mark 1" not in page
    row = trial(journal, number)
    odd = next(n for n, cup in enumerate(row.cups, 1) if row.cups.count(cup) == 1)
    client.post(f"/blind/trials/{number}/lift", data={"mark": str(odd)})
    assert "Right answer: far right" in said(client, f"/blind/trials/{number}")
    client.post(f"/blind/trials/{number}/lift", data={"mark": str(odd % 3 + 1)})
    assert trial(journal, number).lifted == str(odd)


def test_solo_no_new_trial_before_the_mark_was_read(client: FlaskClient) -> None:
    """Else an answer that looks wrong under the cup could be left lying."""
    test = planned(client, pouring="solo")
    number = next_trial(client, test)
    client.post(f"/blind/trials/{number}/served")
    client.post(f"/blind/trials/{number}/answer", data={"place": "1", "sure": "no"})
    assert next_trial(client, test) == number
    client.post(f"/blind/trials/{number}/lift", data={"mark": "2"})
    assert next_trial(client, test) != number


def test_solo_a_mark_that_cannot_be_read_counts_as_wrong(client: FlaskClient) -> None:
    test = planned(client, pouring="solo")
    solo_steps(client, test, 1, "0")
    page = said(client, f"/blind/{test}")
    assert "0 of 1 right" in page
    assert "1 trial with a mark that could not be read: that may have been right or wrong" in page


@pytest.mark.parametrize(
    ("method", "cups", "right"),
    [
        ("triangle", "ABA", {"2"}),
        ("three-cup", "AAB", {"3"}),
        ("paired", "BA", {"1"}),
        ("duo-trio", "AAB", {"1"}),
        ("duo-trio", "BAB", {"2"}),
    ],
)
def test_solo_every_mark_is_read_by_the_rule_of_its_method(
    client: FlaskClient, make: Make, method: str, cups: str, right: set[str]
) -> None:
    directed = method in ("paired", "three-cup")
    named = {"attribute": "body", "more": "B"} if directed else {}
    marks = "12" if method in ("paired", "duo-trio") else "123"
    found = set()
    for mark in marks:
        given = SERVED | ANSWERED | {"cups": cups}
        _, (row,) = rows(make, [given], method=method, pouring="solo", **named)
        client.post(f"/blind/trials/{row.id}/lift", data={"mark": mark})
        page = said(client, f"/blind/trials/{row.id}")
        assert ("Right answer:" in page) == (mark in right and not directed)
        if "1 time out of 1" in page:
            found.add(mark)
    assert found == right


def test_solo_a_preference_and_a_tie_know_the_cup_tasted_first(
    client: FlaskClient, make: Make
) -> None:
    test, made = rows(
        make,
        [
            SERVED | ANSWERED | {"cups": "AB", "answer": 1, "sure": None, "lifted": "1"} | SEEN,
            SERVED | ANSWERED | {"cups": "AB", "answer": 2, "sure": None, "lifted": "1"} | SEEN,
            SERVED | ANSWERED | {"cups": "AB", "answer": 0, "sure": None},
        ],
        method="preference",
        pouring="solo",
    )
    assert "the cup you tasted first (left)" in said(client, f"/blind/trials/{made[2].id}")
    client.post(f"/blind/trials/{made[2].id}/lift", data={"mark": "2"})
    page = said(client, f"/blind/{test.id}")
    assert "Juniper preferred A twice, B never, and neither once" in page
    assert "The cup tasted first 1 of 2" in page


def test_nothing_can_be_stopped_while_a_trial_is_unfinished(
    client: FlaskClient, journal: Database
) -> None:
    test = planned(client)
    number = next_trial(client, test)
    client.post(f"/blind/{test}/stop", data={"reason": "no more beans"})
    assert blind_test(journal, test).ended is None
    client.post(f"/blind/trials/{number}/void", data={"reason": "spilled"})
    client.post(f"/blind/{test}/stop", data={"reason": "no more beans"})
    assert blind_test(journal, test).ended == "stopped"
    page = said(client, f"/blind/{test}")
    assert "Stopped before the first trial: nothing is known." in page
    assert "no more beans" in page


def test_a_test_that_has_ended_takes_no_more_trials(client: FlaskClient, journal: Database) -> None:
    test = planned(client)
    for _ in range(4):  # 4 of 4 triangles bring the evidence to 24.2
        one_trial(client, journal, test, right=True)
    assert blind_test(journal, test).ended == "shown"
    answer = client.post(f"/blind/{test}/next")
    assert answer.location == f"/blind/{test}"
    assert "no more trials" in said(client, answer.location)
    assert len(all_trials(journal)) == 4


def test_balanced_orders_show_no_result_before_the_end(client: FlaskClient, make: Make) -> None:
    done = CLAIMED | SERVED | ANSWERED
    test, (row,) = rows(make, [done], balanced=True, several_tasters=True)
    assert "Results are shown when the test has ended." in said(client, f"/blind/trials/{row.id}")
    client.post(f"/blind/trials/{row.id}/reveal")
    page = said(client, f"/blind/{test.id}")
    assert "Nobody learns a result before the end" in page
    client.post(f"/blind/{test.id}/stop", data={"reason": "enough"})
    client.post(f"/blind/trials/{row.id}/reveal")
    assert "Not this time" in said(client, f"/blind/trials/{row.id}")


@pytest.mark.parametrize("path", ["/blind/9", "/blind/trials/9", "/blind/trials/9/pour"])
def test_what_is_not_there_is_not_found(client: FlaskClient, path: str) -> None:
    assert client.get(path).status_code == 404


Freeze = Callable[[str], None]


def test_a_third_trial_in_a_sitting_is_cautioned(
    client: FlaskClient, journal: Database, freeze: Freeze
) -> None:
    test = planned(client)
    freeze("2026-09-16T08:00")
    for _ in range(2):
        one_trial(client, journal, test, right=False)
    assert "Taste tires" in said(client, f"/blind/{test}")
    freeze("2026-09-17T08:00")
    assert "Taste tires" not in said(client, f"/blind/{test}")
