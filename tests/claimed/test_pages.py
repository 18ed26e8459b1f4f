"""The list of all claims: every verdict with its chance, and what the list is worth."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta
from typing import Any

from flask.testing import FlaskClient

from app.journal.paging import ROWS_A_PAGE
from app.models import BlindTest, QuestionBlindTest
from tests.support import page
from tests.support.asking import ask, blind_test, number, reply, says
from tests.support.clock import NOON
from tests.support.factories import Make

Watch = Callable[[], AbstractContextManager[list[str]]]

SEVEN = "rrrrrrr"
ENDED = {"ended": "shown", "stopped_at": NOON}
BEFORE = NOON - timedelta(days=1)


def shown(make: Make, title: str, **given: Any) -> BlindTest:
    return blind_test(make, SEVEN, title=title, **ENDED | given)


def linked(html: str, rel: str) -> str:
    found = re.search(rf'rel="{rel}" href="([^"]+)"', html)
    assert found
    return found[1]


def test_an_empty_journal_says_what_will_stand_here(client: FlaskClient, make: Make) -> None:
    assert "Once a blind test has ended with a result" in says(client, "/claimed/")
    blind_test(make, "rw")
    said = says(client, "/claimed/")
    assert "1 blind test was looked at in this journal (1 under way)." in said
    assert "0 show a difference" in said


def test_fault_7_every_claim_is_listed_with_its_chance_and_what_was_looked_at(
    client: FlaskClient, make: Make
) -> None:
    shown(make, "Jug or tap")
    blind_test(make, "rwwrw", title="Mugs", ended="stopped", stopped_at=NOON)
    binned = shown(make, "Lids")
    make.put_in_the_bin(binned)
    said = says(client, "/claimed/")
    assert "3 blind tests were looked at in this journal (1 stopped, 1 in the bin)." in said
    assert "2 show a difference, 0 ended close enough." in said
    assert "luck brings at most 4 of 100 such this far" in said
    assert "Probably at most 1 of the 2 differences shown is luck" in said
    assert "If nothing differed at all, it would bring about 0.1." in said
    assert "Lids shown in the bin" in said
    assert "Mugs" not in said


def test_one_claim_of_one_test_stands_and_one_of_many_does_not(
    client: FlaskClient, make: Make
) -> None:
    shown(make, "Jug or tap")
    said = says(client, "/claimed/")
    assert "Jug or tap shown stands alone" in said
    assert "The one difference shown is probably no luck" in said
    for count in range(4):
        blind_test(make, "rwwrw", title=f"Mugs {count}", ended="stopped", stopped_at=NOON)
    said = says(client, "/claimed/")
    assert "stands alone" not in said
    assert "The one difference shown may be luck" in said
    assert "None of the entries below is strong enough alone" in said


def test_a_question_with_several_tests_is_a_claim_of_its_own_beside_its_answer(
    client: FlaskClient, make: Make
) -> None:
    question = ask(client)
    for title in ("Once", "Twice", "Thrice"):
        row = {"question_id": number(question), "test_id": shown(make, title).id}
        make.save(QuestionBlindTest(**row, tied_at=BEFORE))
    reply(client, question, "Yes, plainly.")
    said = says(client, "/claimed/")
    assert "Does a paper used three times taste different? shown stands alone" in said
    assert (
        "In 3 of 3 blind tests that ended, a difference is shown, more clarity in fresh. Your "
        "answer: Yes, plainly." in said
    )
    assert "All of the entries below stand alone" in said
    assert "1 question with several tests is counted among what was looked at" in said


def test_a_question_with_one_test_is_not_listed_twice(client: FlaskClient, make: Make) -> None:
    question = ask(client)
    row = {"question_id": number(question), "test_id": shown(make, "Once").id}
    make.save(QuestionBlindTest(**row, tied_at=BEFORE))
    assert "Does a paper" not in says(client, "/claimed/")


def test_results_that_wait_for_the_end_are_not_told(client: FlaskClient, make: Make) -> None:
    blind_test(make, SEVEN, title="Panel", several_tasters=True, balanced=True)
    said = says(client, "/claimed/")
    assert "1 under way" in said
    assert "Panel" not in said


def test_a_long_list_goes_on_page_by_page(client: FlaskClient, make: Make) -> None:
    for count in range(ROWS_A_PAGE + 3):
        at = NOON + timedelta(minutes=count)
        shown(make, f"Test {count:02}", stopped_at=at)
    first = client.get("/claimed/").text
    assert page.text(first).count("Blind test,") == ROWS_A_PAGE
    second = client.get(linked(first, "next")).text
    assert page.text(second).count("Blind test,") == 3
    back = client.get(linked(second, "prev")).text
    assert page.text(back).count("Blind test,") == ROWS_A_PAGE
    assert "Test 52" in page.text(back)
    for nonsense in ("x", "1-1", "99999999999999999-1"):
        assert client.get(f"/claimed/?before={nonsense}").status_code == 200
        assert client.get(f"/claimed/?after={nonsense}").status_code == 200


def test_it_is_reached_from_questions_and_blind_tests(client: FlaskClient) -> None:
    for address in ("/questions/", "/blind/", "/questions/rule"):
        assert 'href="/claimed/"' in client.get(address).text


def test_the_list_asks_as_often_for_many_claims_as_for_few(
    client: FlaskClient, make: Make, statements: Watch
) -> None:
    counts = []
    for rounds in (2, 9):
        question = ask(client)
        for count in range(rounds):
            row = {"question_id": number(question), "test_id": shown(make, f"{rounds} {count}").id}
            make.save(QuestionBlindTest(**row, tied_at=BEFORE))
        client.get("/claimed/")
        make.taster(name=f"Guest {rounds}")  # what was worked out is no longer up to date
        with statements() as seen:
            client.get("/claimed/")
        counts.append(len(seen))
    assert counts[0] == counts[1] <= 20
