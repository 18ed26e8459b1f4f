"""Scripts read every list, log tastings, and follow a bag over its days."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from flask import Flask

from app.config import Config
from app.database import Database
from app.models import Question
from tests.migrations.rows import read_rows
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.scripts import Script, make_token

TASTED = {"new_taster": "Briar", "liking": 7, "jar_bitterness": 4, "words": "plum", "blind": True}


@pytest.fixture
def script(app: Flask, journal: Database) -> Script:
    return Script(app, make_token(journal))


@pytest.mark.parametrize(
    ("of", "makes", "told"),
    [
        ("beans", lambda make: make.bean(roaster="Hill"), {"roaster": "Hill", "decaf": False}),
        ("bags", lambda make: make.bag(), {"net_g": 250.0, "left_g": 250.0}),
        ("recipes", lambda make: make.recipe(), {"number": 1}),
        ("brewers", lambda make: make.brewer(), {"kind": "pressed immersion"}),
        ("grinders", lambda make: make.grinder(um_per_step=12.5), {"um_per_step": 12.5}),
        ("waters", lambda make: make.water(hardness_mg_l=71.4), {"hardness_mg_l": 71.4}),
        ("filters", lambda make: make.filter(prior_uses=2), {"uses": 2, "last_used_on": None}),
        (
            "questions",
            lambda make: make.save(Question(text="Does a warm mug help?", asked_at=NOON)),
            {"state": "open", "answer": ""},
        ),
    ],
)
def test_a_list_goes_on_at_its_cursor_the_last_added_first(
    script: Script, make: Make, of: str, makes: Any, told: dict[str, Any]
) -> None:
    for _ in range(3):
        makes(make)
    at = f"/api/v1/{of}"
    whole = script.ask(at).json
    assert len(whole["items"]) >= 3
    assert whole["next"] is None
    assert {name: whole["items"][0][name] for name in told} == told
    first = script.ask(at, query_string={"limit": 2}).json
    rest = script.ask(at, query_string={"cursor": first["next"]}).json
    assert first["items"] + rest["items"] == whole["items"]
    assert script.ask(at, query_string={"cursor": "1-2"}).status_code == 422


def test_what_is_in_the_bin_is_in_no_list(script: Script, make: Make) -> None:
    make.bean(binned_at=NOON)
    make.water(binned_at=NOON)
    for of in ("beans", "waters"):
        assert script.ask(f"/api/v1/{of}").json["items"] == []


def test_a_tasting_is_logged_once_and_read_back(script: Script, make: Make, config: Config) -> None:
    at = f"/api/v1/brews/{make.brew().id}/tastings"
    sent = TASTED | {"entry_key": str(uuid4())}
    first, again = script.post(at, sent), script.post(at, sent)
    assert (first.status_code, again.status_code) == (201, 200), first.text
    assert first.json == again.json
    assert len(read_rows(config.url)["tasting"]) == 1
    told = script.ask(at).json["items"]
    assert told == [first.json]
    assert (told[0]["taster_name"], told[0]["liking"], told[0]["blind"]) == ("Briar", 7, True)
    assert script.ask("/api/v1/brews/1").json["liking"] == 7
    named = script.post(at, {"taster_id": told[0]["taster_id"], "liking": 5})
    assert named.json["taster_name"] == "Briar"


@pytest.mark.parametrize(
    ("changed", "beside", "message"),
    [
        ({"liking": 10}, "#/liking", "Please choose a step from 1 to 9."),
        ({"liking": 6.5}, "#/liking", "Please send a value of type integer."),
        ({"new_taster": None}, "#/new_taster", "Please say who tasted."),
        ({"taster_id": 99}, "#/taster_id", "Please choose one from the list."),
        ({"tasted_at": "2001-03-05T07:41:00Z"}, "#/tasted_at", "This is before the brew was made."),
        ({"zone": "Atlantis"}, "#/zone", "There is no such time zone"),
        ({"sweet": 3}, "#/sweet", "There is no such part."),
    ],
)
def test_a_tasting_that_does_not_fit_is_told_why(
    script: Script, make: Make, config: Config, changed: Any, beside: str, message: str
) -> None:
    refused = script.post(f"/api/v1/brews/{make.brew().id}/tastings", TASTED | changed)
    assert refused.status_code == 422
    told = {one["pointer"]: one["detail"] for one in refused.json["errors"]}
    assert message in told[beside]
    assert not read_rows(config.url)["tasting"]


def test_a_tasting_that_says_nothing_and_one_of_no_brew_are_refused(
    script: Script, make: Make
) -> None:
    refused = script.post(f"/api/v1/brews/{make.brew().id}/tastings", {"new_taster": "Briar"})
    assert [one["pointer"] for one in refused.json["errors"]] == ["#"]
    assert script.post("/api/v1/brews/99/tastings", TASTED).status_code == 404
    assert script.ask("/api/v1/brews/99/tastings").status_code == 404


def test_a_bag_is_followed_over_its_days(script: Script, make: Make) -> None:
    bag = make.bag(roasted_on=(NOON - timedelta(days=10)).date())
    for days, tds in ((4, None), (1, 1.31)):
        at = NOON - timedelta(days=days)
        make.brew(bag_id=bag.id, brewed_at=at, brewed_on=at.date(), tds_pct=tds, grind="medium",
                  dose_g=14.5, water_g=215.0, steep_s=95)  # fmt: skip
    told = script.ask(f"/api/v1/bags/{bag.id}/series").json["items"]
    assert [cup["day"] for cup in told] == [6, 9]
    assert [cup["measured"] for cup in told] == [False, True]
    for cup in told:
        assert (
            cup["strength_pct"]["low"]
            <= cup["strength_pct"]["value"]
            <= cup["strength_pct"]["high"]
        )
    assert told[1]["strength_pct"]["value"] == 1.31
    assert script.ask("/api/v1/bags/99/series").status_code == 404
