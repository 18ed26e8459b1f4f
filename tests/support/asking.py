"""Questions for tests: asked as the page does, and evidence to put under them."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from flask.testing import FlaskClient

from app.models import BlindTaster, BlindTest, SideBySide, Taster, Trial
from tests.support import page
from tests.support.clock import NOON
from tests.support.factories import Make

USED = "Does a paper used three times taste different?"


def says(client: FlaskClient, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return page.text(answer.text)


def ask(client: FlaskClient, text: str = USED, factor: str | list[str] = "", **more: str) -> str:
    """Ask as the page does; the question's address."""
    opened = client.get("/questions/new", query_string=more).text
    values = page.filled(opened, holding="text", text=text, factor=factor)
    answer = client.post("/questions/new", data=values)
    assert answer.status_code == 303
    return str(answer.location)


def number(address: str) -> int:
    return int(address.rsplit("/", 1)[1])


def reply(client: FlaskClient, question: str, text: str, state: str = "answered") -> Any:
    """Answer as the question's page does."""
    opened = client.get(question).text
    values = page.filled(opened, holding="answer", answer=text, state=state)
    answer = client.post(f"{question}/answer", data=values)
    assert answer.status_code == 303
    return answer


def tie(client: FlaskClient, question: str, kind: str, row: Any, back: str = "question") -> Any:
    sent = {"question_id": number(question), "kind": kind, "row_id": row.id, "back": back}
    answer = client.post("/questions/tie", data=sent)
    assert answer.status_code == 303
    return answer


def pair(make: Make, preference: str | None, **b: Any) -> SideBySide:
    """A saved side by side of two brews that differ in nothing but what is given for B."""
    steep = {"water_temp_c": 92.0, "steep_s": 120}
    return make.side_by_side(make.brew(**steep), make.brew(**steep | b), preference=preference)


def blind_test(
    make: Make, rights: str = "", taster: Taster | None = None, **given: Any
) -> BlindTest:
    """A paired test, B expected to have more; a trial for each letter: r right, w wrong."""
    plain = {
        "entry_key": f"test {given.get('title', 'Fresh or used')} {rights} {len(given)}",
        "title": "Fresh or used", "made_at": NOON, "a_words": "third use", "b_words": "fresh",
        "claim": "these ways of brewing", "brewing": "fresh pair each trial", "method": "paired",
        "attribute": "clarity", "more": "B", "pouring": "helper", "rule": "every morning",
        "p_d": 0.4,
    }  # fmt: skip
    ended = {name: given.pop(name) for name in ("ended", "stopped_at") if name in given}
    test = make.save(BlindTest(**plain | given))
    who = taster or make.taster()
    make.save(BlindTaster(test_id=test.id, taster_id=who.id, joined_at=NOON))
    for count, letter in enumerate(rights, start=1):
        trial(make, test, who, count, "AB", answer=2 if letter == "r" else 1)
    for name, value in ended.items():  # a test that has ended gets no more trials
        setattr(test, name, value)
    return make.save(test)


def trial(make: Make, test: BlindTest, who: Taster, count: int, cups: str, **given: Any) -> Trial:
    """A trial that was poured, and answered where an answer is given."""
    at = NOON + timedelta(minutes=count)
    plain = {
        "test_id": test.id, "taster_id": who.id, "number": count, "pouring": "helper",
        "cups": cups, "codes": "417 902", "brewed_first": "A", "drawn_at": at, "claimed_at": at,
        "poured_by": "a" * 64, "served_at": at,
    }  # fmt: skip
    answered = {"answered_at": at, "answered_by": "b" * 64, "seen_at": at, "sure": True}
    return make.save(Trial(**plain | (answered if "answer" in given else {}) | given))
