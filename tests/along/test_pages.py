"""Brewing along: from the log forms, from a brew, from a recipe, and back to the log."""

from __future__ import annotations

import json
import re
from html import unescape
from io import BytesIO
from itertools import pairwise
from typing import Any
from urllib.parse import parse_qs, urlsplit

from flask.testing import FlaskClient

from tests.support import page
from tests.support.factories import Make


def plan(text: str) -> dict[str, list[dict[str, Any]]]:
    """What the page's script is given."""
    found = re.search(r'data-plan="([^"]*)"', text)
    assert found
    told: dict[str, list[dict[str, Any]]] = json.loads(unescape(found[1]))
    return told


def test_a_brew_is_brewed_along_once_more(client: FlaskClient, make: Make) -> None:
    brew = make.brew(dose_g=13, water_g=190, steep_s=100, press_s=25, stirs=1)
    answer = client.get(f"/along/like/{brew.id}", follow_redirects=True)
    told = plan(answer.text)
    assert [(step["kind"], step["starts"], step["ends"]) for step in told["A"]] == [
        ("pour", 0, 19),
        ("stir", 19, 29),
        ("steep", 29, 100),
        ("press", 100, 125),
    ]
    assert "Pour 190 g" in page.text(answer.text)


def test_a_recipes_steps_are_told_with_what_should_be_in_by_then(
    client: FlaskClient, make: Make
) -> None:
    recipe = make.recipe(
        water_g=180,
        steps=[
            {"kind": "bloom", "starts_s": 0, "lasts_s": 8, "grams": 40},
            {"kind": "pour", "starts_s": 30, "grams": 140, "note": "in circles"},
        ],
    )
    answer = client.get(f"/along/recipe/{recipe.revisions[0].id}", follow_redirects=True)
    assert "Pour 140 g, to 180 g: in circles" in page.text(answer.text)


def test_two_cups_start_so_that_hands_suffice(client: FlaskClient, make: Make) -> None:
    make.brew(dose_g=13, water_g=200, steep_s=90, press_s=20)
    values = page.filled(
        client.get("/brews/two/new").text, holding="a-dose_g", **{"b-steep_s": "2:30"}
    )
    answer = client.post("/along/typed", data=values)
    assert answer.status_code == 303
    shown = client.get(answer.location)
    told = plan(shown.text)
    a, b = told["A"], told["B"]
    apart = abs(a[-1]["ends"] - b[-1]["ends"])
    assert apart == 25  # a press, and a moment to turn from one to the other
    assert "0:25 apart" in page.text(shown.text)
    hands = [step for cup in (a, b) for step in cup if step["hand"]]
    hands.sort(key=lambda step: step["starts"])
    assert all(one["ends"] + 5 <= next_one["starts"] for one, next_one in pairwise(hands))


def test_what_was_typed_comes_back_to_the_log(client: FlaskClient, make: Make) -> None:
    paper = make.filter()
    make.brew(filters=[paper])
    typed = page.filled(client.get("/brews/new").text, holding="dose_g", dose_g="17.3", note="plum")
    there = client.post("/along/typed", data=typed).location
    assert "csrf" not in there
    carried = page.form(client.get(there).text, holding="dose_g")
    assert carried["note"] == ["plum"]
    back = client.get("/brews/new", query_string=carried | {"steep_s": "1:47"})
    again = page.form(back.text, holding="dose_g")
    assert again["dose_g"] == ["17.3"]
    assert again["steep_s"] == ["1:47"]
    assert again["filter_1"] == [str(paper.id)]


def test_without_an_amount_the_form_comes_back_with_what_was_typed(
    client: FlaskClient, make: Make
) -> None:
    make.brew()
    typed = page.filled(
        client.get("/brews/two/new").text, holding="a-dose_g", **{"b-dose_g": "", "a-note": "kept"}
    )
    there = client.post("/along/typed", data=typed).location
    answer = client.get(there)
    assert answer.status_code == 303
    assert urlsplit(answer.location).path == "/brews/two/new"
    assert parse_qs(urlsplit(answer.location).query)["a-note"] == ["kept"]
    shown = client.get(answer.location).text
    assert "how much coffee and how much water" in page.text(shown)
    assert "kept" in shown


def test_the_caution_stands_on_the_page_of_a_hot_and_of_a_flipped_brewer(
    client: FlaskClient, make: Make
) -> None:
    for brew, is_hot, is_flipped in (
        (make.brew(), True, False),
        (make.brew(water_temp_c=87, flipped=True), True, True),
        (make.brew(water_temp_c=8), False, False),
    ):
        shown = page.text(client.get(f"/along/like/{brew.id}", follow_redirects=True).text)
        assert ("Boiling water and steam scald." in shown) == is_hot
        assert ("A flipped brewer can slip" in shown) == is_flipped


def test_a_flipped_brewer_is_turned_over_before_the_press(client: FlaskClient, make: Make) -> None:
    brew = make.brew(water_g=190, steep_s=100, press_s=25, flipped=True)
    told = plan(client.get(f"/along/like/{brew.id}", follow_redirects=True).text)
    assert [(step["kind"], step["starts"], step["ends"]) for step in told["A"]][-3:] == [
        ("steep", 19, 88),
        ("turn over", 88, 100),
        ("press", 100, 125),
    ]


def test_what_no_keyboard_types_is_carried_or_told_but_never_breaks(
    client: FlaskClient, make: Make
) -> None:
    make.brew()
    body = "dose_g=14&water_g=200&note=%ED%A0%80%00%FF%0D%0A&brewer_id=abc&revision_id=-1"
    there = client.post("/along/typed", data=body, content_type="application/x-www-form-urlencoded")
    assert there.status_code == 303
    assert client.get(there.location).status_code == 200


def test_a_note_too_long_for_an_address_is_shown_rather_than_lost(
    client: FlaskClient, make: Make
) -> None:
    make.brew()
    note = "Пахне сливою. " * 285  # as a browser without script sends it
    typed = page.filled(client.get("/brews/new").text, holding="dose_g", note=note)
    answer = client.post("/along/typed", data=typed)
    assert answer.status_code == 413
    assert note.strip() in unescape(answer.text)
    assert "it is still in the form" in page.text(answer.text)


def test_a_photo_that_cannot_be_carried_is_told(client: FlaskClient, make: Make) -> None:
    make.brew()
    typed = page.filled(client.get("/brews/new").text, holding="dose_g")
    typed["photo"] = (BytesIO(b"a picture"), "cup.jpg")
    there = client.post("/along/typed", data=typed, content_type="multipart/form-data").location
    assert "The photo you chose is not carried along" in page.text(client.get(there).text)
