"""Scripts log brews with the form's values, bounds and messages, and each counts once."""

from __future__ import annotations

import threading
from typing import Any
from uuid import uuid4

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.config import Config
from app.database import Database
from tests.migrations.rows import read_rows
from tests.support import page
from tests.support.factories import Make
from tests.support.scripts import Script, make_token

BREWS = "/api/v1/brews"
BREW = {"dose_g": 14.5, "water_g": 215.0, "grind": "medium", "steep_s": 95, "note": "By the scale"}


@pytest.fixture
def script(app: Flask, journal: Database) -> Script:
    return Script(app, make_token(journal))


@pytest.fixture
def brew(make: Make) -> dict[str, Any]:
    """What a script sends of one brew, its bag and brewer being in the journal."""
    made = make.brew()
    return BREW | {"bag_id": made.bag_id, "brewer_id": made.brewer_id}


def _faults(answer: Any) -> dict[str, str]:
    assert answer.status_code == 422, answer.text
    assert answer.mimetype == "application/problem+json"
    return {one["pointer"]: one["detail"] for one in answer.json["errors"]}


def test_a_brew_is_logged_and_read_back(
    script: Script, brew: dict[str, Any], client: FlaskClient
) -> None:
    sent = brew | {"brewed_at": "2026-03-05T07:41:00+01:00", "zone": "Europe/Berlin"}
    saved = script.post(BREWS, sent)
    assert saved.status_code == 201, saved.text
    told = script.ask(saved.headers["Location"]).json
    assert told == saved.json
    assert {name: told[name] for name in sent} == sent
    assert told["brewed_on"] == "2026-03-05"
    low, value, high = (told["strength_pct"][end] for end in ("low", "value", "high"))
    assert low < value < high
    assert not told["measured"]
    assert "By the scale" in page.text(client.get(f"/brews/{told['id']}").text)


def test_a_bean_and_a_brewer_that_are_new_come_with_the_brew(script: Script) -> None:
    sent = {"dose_g": 12.2, "water_g": 190, "new_bean": "Fig", "new_brewer_kind": "cone"}
    told = script.post(BREWS, sent).json
    assert (told["bean_name"], told["water_g"]) == ("Fig", 190.0)


def test_the_same_key_counts_once(script: Script, brew: dict[str, Any], config: Config) -> None:
    key, before = str(uuid4()), len(read_rows(config.url)["brew"])
    first = script.post(BREWS, brew, headers={"Idempotency-Key": key})
    again = script.post(BREWS, brew | {"entry_key": key.upper()})
    assert (first.status_code, again.status_code) == (201, 200)
    assert first.json == again.json
    assert first.json["entry_key"] == key
    other = script.post(BREWS, brew | {"entry_key": key, "dose_g": 14.6})
    assert other.status_code == 409
    assert len(read_rows(config.url)["brew"]) == before + 1
    assert _faults(script.post(BREWS, brew | {"entry_key": "mine"})).keys() == {"#/entry_key"}
    two = script.post(BREWS, brew | {"entry_key": key}, headers={"Idempotency-Key": str(uuid4())})
    assert _faults(two).keys() == {"#/entry_key"}


def test_the_same_key_at_the_same_time_counts_once(
    app: Flask, script: Script, brew: dict[str, Any], config: Config
) -> None:
    sent, before = brew | {"entry_key": str(uuid4())}, len(read_rows(config.url)["brew"])
    answers: list[Any] = []
    threads = [
        threading.Thread(target=lambda: answers.append(Script(app, script.token).post(BREWS, sent)))
        for _ in range(5)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(one.status_code for one in answers) == [200, 200, 200, 200, 201]
    assert len({one.json["id"] for one in answers}) == 1
    assert len(read_rows(config.url)["brew"]) == before + 1


@pytest.mark.parametrize(
    ("changed", "beside", "message"),
    [
        ({"dose_g": 0}, "#/dose_g", "Please stay between 0.1 and 2000 g."),
        ({"dose_g": "14"}, "#/dose_g", "Please send a value of type number."),
        ({"dose_g": None}, "#/dose_g", "Please fill this in."),
        ({"dose_g": True}, "#/dose_g", "Please send a value of type number."),
        ({"water_g": 10**400}, "#/water_g", "Please stay between 1 and 40000 g."),
        ({"steep_s": 1.5}, "#/steep_s", "Please send a value of type integer."),
        ({"grind": "as sand"}, "#/grind", "Please choose one from the list."),
        ({"bag_id": 999}, "#/bag_id", "Please choose one from the list."),
        ({"bag_id": None}, "#/bag_id", "Please choose a bag, or name a new bean."),
        ({"tds_pct": 1.3, "brix": 1.5}, "#/brix", "Fill in % TDS or °Brix, not both."),
        ({"note": "x" * 4001}, "#/note", "Keep this within 4000 characters."),
        ({"brewed_at": "2026-03-05T07:41:00"}, "#/brewed_at", "Please send a time with its off"),
        ({"brewed_at": "2026-02-30T07:41:00Z"}, "#/brewed_at", "There is no such time."),
        ({"brewed_at": "2199-03-05T07:41:00Z"}, "#/brewed_at", "This time has not come yet."),
        ({"brewed_at": "0001-01-01T00:00:00+09:00"}, "#/brewed_at", "This date is"),
        ({"zone": "Atlantis"}, "#/zone", "There is no such time zone"),
        ({"sugar_g": 5}, "#/sugar_g", "There is no such part."),
        ({"photo": "x"}, "#/photo", "There is no such part."),
        ({"filters": [{"filter_id": 99}]}, "#/filters/0", "Please choose one from the list."),
        ({"filters": [{"pack_id": 99}]}, "#/filters", ""),
        ({"filters": [{}]}, "#/filters/0", "Please send a filter_id or a pack_id"),
        ({"filters": 5}, "#/filters", "Please send a list"),
        ({"filters": None}, "#/filters", "Please send a list"),
    ],
)
def test_what_does_not_fit_is_told_beside_it_and_saves_nothing(
    script: Script, brew: dict[str, Any], config: Config, changed: Any, beside: str, message: str
) -> None:
    before = read_rows(config.url)["brew"]
    assert message in _faults(script.post(BREWS, brew | changed))[beside]
    assert read_rows(config.url)["brew"] == before


def test_a_brew_with_filters_counts_their_uses(
    script: Script, brew: dict[str, Any], make: Make
) -> None:
    pack = make.pack()
    first = script.post(BREWS, brew | {"filters": [{"pack_id": pack.id}]}).json["filters"][0]
    again = {"filter_id": first["filter_id"], "retire": True}
    second = script.post(BREWS, brew | {"filters": [again]}).json["filters"][0]
    assert (first["use"], second["use"]) == (1, 2)
    assert second["filter_id"] == first["filter_id"]
    gone = _faults(script.post(BREWS, brew | {"filters": [again]}))
    assert gone == {"#/filters/0": "Please choose one from the list."}


def test_the_list_goes_on_at_its_cursor(script: Script, make: Make) -> None:
    made = [make.brew().id for _ in range(7)]
    seen: list[int] = []
    cursor: str | None = None
    while not seen or cursor:
        query = {"limit": 3} | ({"cursor": cursor} if cursor else {})
        told = script.ask(BREWS, query_string=query).json
        seen += [brew["id"] for brew in told["items"]]
        cursor = told["next"]
    assert seen == made[::-1]


def test_the_list_is_narrowed_as_the_page_is(script: Script, make: Make) -> None:
    bag = make.bag()
    own, other = make.brew(bag_id=bag.id), make.brew(note="Rhubarb jam")
    for query, found in (
        ({"bag": bag.id}, [own.id]),
        ({"q": "rhubarb"}, [other.id]),
        ({"until": "1999-12-31"}, []),
    ):
        told = script.ask(BREWS, query_string=query).json["items"]
        assert sorted(brew["id"] for brew in told) == found, query
    for query in ({"bag": "x"}, {"limit": 0}, {"cursor": "x"}, {"bags": 1}, {"since": "today"}):
        assert _faults(script.ask(BREWS, query_string=query)).keys() == query.keys()


def test_errors_are_problems_and_never_pages(script: Script, brew: dict[str, Any]) -> None:
    raw = {"Content-Type": "application/json"}
    for answer, status in (
        (script.ask("/api/v1/brews/999"), 404),
        (script.ask("/api/v1/nothing"), 404),
        (script.ask("/api//v1/brews"), 404),
        (script.ask("/api"), 404),
        (script.ask(BREWS, "DELETE"), 405),
        (script.ask(BREWS, "POST", data="{", headers=raw), 400),
        (script.ask(BREWS, "POST", data="[" * 50_000, headers=raw), 400),
        (script.ask(BREWS, "POST", data='{"dose_g": NaN}', headers=raw), 400),
        (script.ask(BREWS, "POST", data=b"\xff\xfe\x00", headers=raw), 400),
        (script.ask(BREWS, "POST", data=" " * 70_000, headers=raw), 413),
        (script.ask(BREWS, "POST", data={"dose_g": "14"}), 415),
        (script.post(BREWS, [1]), 422),
        (script.post(BREWS, brew, headers={"Origin": "http://evil.example"}), 403),
    ):
        assert (answer.status_code, answer.mimetype) == (status, "application/problem+json")
        told = answer.json
        assert {"type", "title", "status", "detail"} <= told.keys()
        assert told["status"] == status
