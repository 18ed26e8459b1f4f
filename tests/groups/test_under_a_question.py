"""Groups of cups under a question: what was read that day, and never more than an anecdote."""

from __future__ import annotations

import json
import re

from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.groups.links import MOST_UNDER_ONE
from app.models import QuestionGroups
from tests.support import page
from tests.support.asking import ask, number, says
from tests.support.clock import A_DAY, FIRST_BREW
from tests.support.factories import Make

FINE_OR_MEDIUM = "/groups/?a-grind=fine&b-grind=medium"


def turns(make: Make, days: int) -> None:
    for day in range(days):
        fine = day % 2 == 0
        brew = make.brew(grind="fine" if fine else "medium", brewed_at=FIRST_BREW + day * A_DAY)
        make.tasting(brew, liking=5 + 2 * fine + day // 2 % 2)


def put(client: FlaskClient, question: str, address: str = FINE_OR_MEDIUM) -> str:
    """Put what an address shows under a question, as its page does; what is said then."""
    values = page.filled(client.get(address).text, holding="query")
    values["question_id"] = [str(number(question))]
    answer = client.post("/groups/under", data=values)
    assert (answer.status_code, answer.location) == (303, address)
    return says(client, address)


def test_it_stands_there_as_read_and_is_an_anecdote(client: FlaskClient, make: Make) -> None:
    turns(make, 16)
    question = ask(client)
    assert "It is under the question now" in put(client, question)
    said = says(client, question)
    assert "fine grind against medium grind" in said
    assert "Juniper, sighted: A was liked 2.0 more than B on average" in said
    assert "Only cups outside a blind test: 1 comparison of groups of cups." in said
    assert FINE_OR_MEDIUM.replace("&", "&amp;") in client.get(question).text


def test_however_many_they_stay_an_anecdote(client: FlaskClient, make: Make) -> None:
    turns(make, 16)
    question = ask(client)
    put(client, question)
    for day in (2, 3, 4):
        put(client, question, f"/groups/?until=2027-01-0{day}&a-grind=fine&b-grind=medium")
    data = json.loads(client.get(f"{question}/export.json").text)
    assert data["strength"]["level"] == "anecdote"
    assert data["groups_of_cups"][0]["a_against_b"] == "fine grind against medium grind"
    assert len(data["groups_of_cups"]) == 4
    assert client.get(f"{question}/export.csv").text.count("groups of cups,") == 4


def test_put_there_again_it_is_read_anew(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    turns(make, 4)
    question = ask(client)
    put(client, question)
    assert "Too few cups yet to say anything." in says(client, question)
    turns(make, 16)
    put(client, question)
    with Session(journal.reader) as session:
        (only,) = session.scalars(select(QuestionGroups)).all()
    assert "A was liked 2.0 more than B" in only.said


def test_it_can_be_taken_off(client: FlaskClient, make: Make) -> None:
    turns(make, 4)
    question = ask(client)
    put(client, question)
    found = re.search(r'action="(/groups/\d+/off)"', client.get(question).text)
    assert found
    assert client.post(found[1]).location == question
    assert "fine grind against medium grind" not in says(client, question)
    assert client.post(found[1]).status_code == 404


def test_without_a_cup_in_each_there_is_nothing_to_put(client: FlaskClient, make: Make) -> None:
    make.tasting(make.brew(grind="fine"))
    question = ask(client)
    assert "both groups need a scored cup" in put(client, question)
    assert "fine grind against" not in says(client, question)


def test_what_cannot_be_read_or_found_is_refused(client: FlaskClient, make: Make) -> None:
    turns(make, 4)
    question = ask(client)
    values = page.filled(client.get(FINE_OR_MEDIUM).text, holding="query")
    for query in ("", "a-use_from=many", "b-grind=fine"):
        answer = client.post("/groups/under", data=values | {"query": [query]})
        assert (answer.status_code, answer.location) == (303, "/groups/")
    assert client.post("/groups/under", data=values | {"question_id": ["999"]}).status_code == 404
    none = client.post("/groups/under", data=values | {"question_id": [""]})
    assert none.status_code == 303
    assert "Please choose a question from the list." in says(client, none.location)
    assert "fine grind against" not in says(client, question)


def test_a_question_holds_so_many(client: FlaskClient, make: Make) -> None:
    turns(make, 4)
    question = ask(client)
    for n in range(MOST_UNDER_ONE):
        told = {"query": f"a-use_from={n + 1}", "words": "x", "said": "y", "tied_at": FIRST_BREW}
        make.save(QuestionGroups(question_id=number(question), **told))
    assert f"at most {MOST_UNDER_ONE} comparisons" in put(client, question)
