"""Which blind tests count under a question: whatever was looked at there, and nothing picked."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import BlindTest, QuestionBlindTest
from tests.support.asking import ask, blind_test, number, pair, says, tie
from tests.support.clock import NOON
from tests.support.factories import Make

Freeze = Callable[[datetime | str], None]

SEVEN = "rrrrrrr"
ENDED = {"ended": "shown", "stopped_at": NOON}
STOPPED = {"ended": "stopped", "stopped_at": NOON}
BEFORE, AFTER = NOON - timedelta(days=1), NOON + timedelta(days=1)


def take_off(client: FlaskClient, question: str, test: BlindTest) -> None:
    sent = {"kind": "blind_test", "row_id": test.id, "back": "question"}
    assert client.post(f"{question}/untie", data=sent).status_code == 303


def put(make: Make, question: str, test: BlindTest, tied_at: Any) -> None:
    make.save(QuestionBlindTest(question_id=number(question), test_id=test.id, tied_at=tied_at))


def level(client: FlaskClient, question: str) -> str:
    return says(client, question).partition("Strength of the evidence: ")[2].partition(" open")[0]


def test_fault_7_putting_a_test_in_the_bin_does_not_clean_the_question(
    client: FlaskClient, make: Make
) -> None:
    question, shown = ask(client), blind_test(make, SEVEN, **ENDED)
    poor = blind_test(make, "rwwrwrw", title="Again", **STOPPED)
    put(make, question, shown, BEFORE)
    put(make, question, poor, BEFORE)
    assert level(client, question) == "mixed"
    make.put_in_the_bin(poor)
    said = says(client, question)
    assert "Strength of the evidence: mixed" in said
    assert "2 blind tests (1 stopped, 1 in the bin)" in said
    assert "gone from here and still count Again in the bin" in said


def test_fault_7_taking_a_test_away_does_not_clean_the_question(
    client: FlaskClient, make: Make
) -> None:
    question, shown = ask(client), blind_test(make, SEVEN, **ENDED)
    poor = blind_test(make, "rwwrwrw", title="Again", **STOPPED)
    put(make, question, shown, BEFORE)
    put(make, question, poor, BEFORE)
    take_off(client, question, poor)
    said = says(client, question)
    assert "Strength of the evidence: mixed" in said
    assert "1 taken away" in said
    told = client.get(f"{question}/export.json").json
    assert told is not None
    assert [one["gone"] for one in told["blind_tests_gone"]] == ["taken away"]
    assert "blind test" in client.get(f"{question}/export.csv").text.rpartition("taken away")[0]
    tie(client, question, "blind_test", poor)
    assert "1 taken away" not in says(client, question)
    assert "put here after the first answer" not in says(client, question)  # as it was before


def test_a_test_put_here_by_mistake_is_taken_away_again(
    client: FlaskClient, make: Make, freeze: Freeze
) -> None:
    freeze(AFTER)
    question, shown = ask(client), blind_test(make, SEVEN, **ENDED)
    put(make, question, shown, BEFORE)
    slip = blind_test(make, "rwwrwrw", title="Something else")
    tie(client, question, "blind_test", slip)
    take_off(client, question, slip)
    assert "taken away" not in says(client, question)
    tie(client, question, "blind_test", slip)
    freeze(AFTER + timedelta(hours=2))
    take_off(client, question, slip)
    assert "1 taken away" in says(client, question)  # no slip any more
    unanswered = blind_test(make, "", title="Not begun")
    put(make, question, unanswered, BEFORE)
    take_off(client, question, unanswered)
    assert "3 blind tests" not in says(client, question)


@pytest.mark.parametrize("tied_at", [AFTER, None])
def test_a_test_picked_after_a_look_at_others_is_a_hint(
    client: FlaskClient, make: Make, tied_at: Any
) -> None:
    question, shown = ask(client), blind_test(make, SEVEN, **ENDED)
    put(make, question, shown, tied_at)
    assert level(client, question) == "shown"  # nothing was left out
    other = blind_test(make, "rw", title="Another thing")
    assert level(client, question) == "hint"
    assert "while another test of this journal stayed out" in says(client, question)
    make.put_in_the_bin(other)  # it was looked at all the same
    assert level(client, question) == "hint"


def test_a_test_put_here_beforehand_counts_whatever_else_the_journal_holds(
    client: FlaskClient, make: Make
) -> None:
    question, shown = ask(client), blind_test(make, SEVEN, **ENDED)
    blind_test(make, "rw", title="Another thing")
    put(make, question, shown, BEFORE)
    assert level(client, question) == "shown"


def test_fault_7_twenty_tests_put_here_one_after_another(client: FlaskClient, make: Make) -> None:
    question = ask(client)
    for count in range(19):
        poor = blind_test(make, "rw", title=f"Try {count}", **STOPPED)
        put(make, question, poor, BEFORE)
    put(make, question, blind_test(make, SEVEN, title="The last try", **ENDED), BEFORE)
    assert level(client, question) == "mixed"


def test_a_preference_in_the_bin_still_counts(client: FlaskClient, make: Make) -> None:
    question = ask(client, factor="steep")
    agreeing = [pair(make, "b", steep_s=180) for _ in range(4)]
    for one in agreeing:
        tie(client, question, "side_by_side", one)
    assert level(client, question) == "hint"
    against = pair(make, "a", steep_s=180)
    tie(client, question, "side_by_side", against)
    assert level(client, question) == "anecdote"
    make.put_in_the_bin(against)
    assert level(client, question) == "anecdote"
    assert "1 fair side by side in the bin still counts" in says(client, question)


def test_the_moment_a_test_is_put_under_a_question_is_noted(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    ask(client, kind="blind_test", row_id=str(blind_test(make, "").id))
    with Session(journal.reader) as session:
        assert session.scalars(select(QuestionBlindTest.tied_at)).all() == [NOON]
