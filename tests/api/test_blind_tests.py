"""Scripts read blind tests, and no answer of the API depends on a key before it was shown."""

from __future__ import annotations

import re
from typing import Any

import pytest
from flask import Flask

from app.database import Database
from app.models import BlindTaster, BlindTest, Trial
from tests.support.addresses import is_api, some_values
from tests.support.clock import A_DAY, NOON
from tests.support.factories import Make
from tests.support.phone import blind_test, seat
from tests.support.scripts import Script, make_token

KEYS = ({"cups": "ABA", "brewed_first": "A"}, {"cups": "BAB", "brewed_first": "B"})
POURED = {"poured_by": "a" * 64, "claimed_at": NOON, "served_at": NOON}
ANSWERED = POURED | {"answered_at": NOON, "answered_by": "b" * 64, "answer": 2}
SHOWN = ANSWERED | {"seen_at": NOON}
# What is stored of a trial while its key is sealed: drawn, poured, answered, void, and shown in a
# test that hides its results.
SEALED: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "drawn": ({}, {}),
    "poured": (POURED, {}),
    "answered": (ANSWERED, {}),
    "void": (POURED | {"voided_at": NOON, "void_reason": "spilled"}, {}),
    "solo": ({"pouring": "solo", "served_at": NOON, "answered_at": NOON, "answer": 1}, {}),
    "balanced": (SHOWN, {"several_tasters": True, "balanced": True}),
    "controls": (SHOWN, {"rule": "fixed number", "fixed_trials": 12, "controls": 4}),
}


@pytest.fixture
def script(app: Flask, journal: Database) -> Script:
    return Script(app, make_token(journal))


def _trial(make: Make, test: BlindTest, taster_id: int, **given: Any) -> Trial:
    plain = {
        "test_id": test.id, "taster_id": taster_id, "number": 1, "pouring": "helper",
        "codes": "417 902 655", "drawn_at": NOON,
    }  # fmt: skip
    return make.save(Trial(**plain | given))


def _asked(app: Flask, script: Script, test_id: int, trial_id: int) -> dict[str, str]:
    """Every answer of the API about the test, its own numbers taken out."""
    found = {}
    with app.test_request_context():
        for rule in app.url_map.iter_rules():
            if is_api(rule) and "GET" in (rule.methods or ()):
                values = some_values(rule) | (
                    {"test_id": test_id} if "test_id" in rule.arguments else {}
                )
                found[rule.endpoint] = app.url_for(rule.endpoint, **values)
    assert len(found) > 12
    own = re.compile(rf'"id": ({test_id}|{trial_id})\b')
    told = {name: script.ask(path) for name, path in found.items()}
    assert {answer.status_code for answer in told.values()} <= {200, 404}
    assert told["api_tests.show"].status_code == 200
    return {name: own.sub('"id": 0', answer.text) for name, answer in told.items()}


@pytest.mark.parametrize("state", SEALED)
def test_no_answer_depends_on_a_key_that_was_not_shown(
    app: Flask, script: Script, make: Make, state: str
) -> None:
    """Two tests alike but for the key of their trial: what is told of them is the same."""
    of_trial, of_test = SEALED[state]
    taster_id, told = make.taster(name="Briar").id, []
    for key in KEYS:
        test = blind_test(make, "Fresh or rinsed", **{"entry_key": key["cups"]} | of_test)
        _seat(make, test, taster_id)
        control = {"is_control": key["cups"] == "BAB"} if state == "controls" else {}
        trial = _trial(make, test, taster_id, **key | of_trial | control)
        answers = _asked(app, script, test.id, trial.id)
        told.append(answers["api_tests.show"])
        assert script.ask(f"/api/v1/tests/{test.id}").json["trials"][0]["key"] is None
        assert not re.search(r'"(ABA|BAB)"', str(answers))
    assert told[0] == told[1]


def test_a_key_that_was_shown_is_told(script: Script, make: Make) -> None:
    test = blind_test(make)
    taster_id = seat(make, test).taster_id
    _trial(make, test, taster_id, **KEYS[0], **SHOWN)
    told = script.ask(f"/api/v1/tests/{test.id}").json
    assert told["plan"]["title"] == test.title
    (trial,) = told["trials"]
    assert trial["key"] == KEYS[0] | {"is_control": False, "lifted": None}
    assert (trial["answer"], trial["codes"]) == (2, ["417", "902", "655"])
    listed = script.ask("/api/v1/tests").json
    assert [plan["id"] for plan in listed["items"]] == [test.id]


def test_a_test_that_hides_its_results_tells_its_keys_once_it_has_ended(
    script: Script, make: Make, journal: Database
) -> None:
    test = blind_test(make, **SEALED["balanced"][1])
    _trial(make, test, seat(make, test).taster_id, **KEYS[1], **SHOWN)
    with journal.writing() as session:
        stopped = session.get_one(BlindTest, test.id)
        stopped.ended, stopped.stopped_at, stopped.stopped_why = "stopped", NOON + A_DAY, "enough"
    (trial,) = script.ask(f"/api/v1/tests/{test.id}").json["trials"]
    assert trial["key"]["cups"] == "BAB"


def test_a_test_that_is_not_there_is_said_so(script: Script) -> None:
    assert script.ask("/api/v1/tests/99").status_code == 404
    assert script.ask("/api/v1/tests?cursor=x").status_code == 422


def _seat(make: Make, test: BlindTest, taster_id: int) -> None:
    make.save(BlindTaster(test_id=test.id, taster_id=taster_id, joined_at=NOON))
