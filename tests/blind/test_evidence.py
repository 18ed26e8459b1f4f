"""Which blind tests concern a thing, and that no page about them shows a sealed key."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.blind.evidence import blind_evidence_of
from app.models import Brew, TrialBrew
from tests.support import page
from tests.support.asking import ask, blind_test, number, tie, trial
from tests.support.clock import NOON
from tests.support.factories import Make

Watch = Callable[[], AbstractContextManager[list[str]]]


def test_a_sealed_key_shows_nowhere(app: Flask, client: FlaskClient, make: Make) -> None:
    """Two journals alike but for the key of a trial not answered yet: not a letter differs."""
    shown, who, brew = [], make.taster(), make.brew()
    tests = {
        cups: blind_test(make, "rr", who, a_brew_id=brew.id, entry_key=f"two with {cups}")
        for cups in ("AB", "BA")
    }
    for cups, test in tests.items():
        trial(make, test, who, 3, cups, brewed_first=cups[0], note="sealed")
    addresses = [ask(client) for _ in tests]
    client.get("/")  # where what was done is told
    for test, address in zip(tests.values(), addresses, strict=True):
        tie(client, address, "blind_test", test)
        html = client.get(address).text
        told = client.get(f"{address}/export.json").text + client.get(f"{address}/export.csv").text
        with Session(app.extensions["oddcup_database"].reader) as session:
            found = blind_evidence_of(session, NOON, brew_ids=[brew.id])
        (own,) = [one for one in found if one.test_id == test.id]
        assert (own.n, own.correct) == (2, 2)
        template = app.jinja_env.get_template("blind/_evidence.html")
        with app.test_request_context():
            html += template.render(blind_evidence=[own])
        body = page.text(html) + told
        assert "sealed" not in body
        shown.append(_unnumbered(body, test.id, number(address)))
    assert len(shown[0]) > 500
    assert shown[0] == shown[1]


def _unnumbered(body: str, test_id: int, question_id: int) -> str:
    """Without the row numbers of a test, its question and what was asked, wherever they stand."""
    of_test = (('"id": ', ""), ("test,", ","), ("question. Test ", " "), (r'_ids": \[\s*', r"\s"))
    of_question = (("question,", ","), ("ask,", ","))
    for before, own, after in (
        *((one, test_id, other) for one, other in of_test),
        *((one, question_id, other) for one, other in of_question),
    ):
        body = re.sub(f"({before}){own}(?={after})", r"\g<1>0", body)
    return body


def evidence(app: Flask, **of: Any) -> list[int]:
    with Session(app.extensions["oddcup_database"].reader) as session:
        return [found.test_id for found in blind_evidence_of(session, NOON, **of)]


def test_which_tests_concern_a_brew_its_bag_and_its_filter(app: Flask, make: Make) -> None:
    bag, paper = make.bag(), make.filter()
    inside = make.brew(bag, filters=[paper])
    outside, third = make.brew(make.bag()), make.brew(make.bag())
    named = blind_test(make, a_brew_id=inside.id, b_brew_id=outside.id, title="named")
    who = make.taster()
    poured = blind_test(make, title="poured", taster=who)
    of = trial(make, poured, who, 1, "AB", answer=2)
    make.save(TrialBrew(trial_id=of.id, brew_id=third.id, cup="A"))
    make.save(TrialBrew(trial_id=of.id, brew_id=inside.id, cup="B"))
    waiting = blind_test(make, title="waiting", taster=make.taster())
    used = blind_test(make, a_filter_id=paper.id, a_filter_use=3, title="used")
    assert evidence(app, brew_ids=[inside.id]) == [poured.id, named.id]
    assert evidence(app, brew_ids=[inside.id, outside.id]) == [named.id]
    assert evidence(app, brew_ids=[third.id, inside.id]) == [poured.id]
    assert evidence(app, brew_ids=[outside.id, third.id]) == []
    assert evidence(app, bag_id=bag.id) == [poured.id, named.id]
    assert evidence(app, filter_id=paper.id) == [used.id, poured.id, named.id]
    assert evidence(app) == []
    make.put_in_the_bin(named)
    assert evidence(app, bag_id=bag.id) == [poured.id]
    assert waiting.id not in evidence(app, brew_ids=[inside.id])


def test_the_brews_of_a_trial_not_answered_yet_do_not_point_to_its_test(
    app: Flask, make: Make
) -> None:
    who, brew = make.taster(), make.brew()
    test = blind_test(make, taster=who)
    sealed = trial(make, test, who, 1, "AB")
    make.save(TrialBrew(trial_id=sealed.id, brew_id=brew.id, cup="A"))
    assert evidence(app, brew_ids=[brew.id]) == []


def test_two_brews_are_concerned_by_a_test_of_their_recipes(app: Flask, make: Make) -> None:
    one, other = make.recipe("One"), make.recipe("Other")
    a, b = make.brew(recipe=one), make.brew(recipe=other)
    again, plain = make.brew(recipe=one), make.brew()
    of_recipes = blind_test(
        make, a_revision_id=one.revisions[0].id, b_revision_id=other.revisions[0].id
    )
    assert evidence(app, brew_ids=[a.id, b.id]) == [of_recipes.id]
    assert evidence(app, brew_ids=[b.id, a.id]) == [of_recipes.id]
    for pair_of in ([a.id, again.id], [a.id, plain.id], [plain.id, again.id], [a.id]):
        assert evidence(app, brew_ids=pair_of) == []


def test_evidence_of_many_tests_takes_as_many_statements_as_of_one(
    journal: Database, make: Make, statements: Watch
) -> None:
    brew: Brew = make.brew()
    for n in range(6):
        blind_test(make, "rw", a_brew_id=brew.id, title=f"number {n}")
        if n in (0, 5):
            with statements() as seen, Session(journal.reader) as session:
                found = blind_evidence_of(session, NOON, brew_ids=[brew.id])
            assert (len(found), len(seen)) == (n + 1, 8)
