"""A household of ounces, degrees Fahrenheit and a decimal comma reads nothing else on any page
with a sum on it, whatever it types."""

from __future__ import annotations

import re

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Question, QuestionBlindTest
from tests.support import page
from tests.support.addresses import pages
from tests.support.blind import ANSWERED, CLAIMED, SERVED, rows
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.household import furnish
from tests.support.worksheets import KEEPING, SHEETS, SLIPS, ask

# g/L, mg, mg/L and the like are units of the trade, whatever a household weighs in.
FOREIGN = re.compile(
    r"\d\.\d|°C|(?<!/)\bg\b(?!/[Lg])|\bgrams?\b|\bml\b|\bkg\b(?! K)", re.IGNORECASE
)
HIDDEN = ("csrf_token", "entry_key")
SUMS = (
    "brews.new", "brews.edit", "brews.show", "brews.index", "recipes.show", "recipes.index",
    "recipes.revise", "recipes.from_brew", "side_by_side.show", "gear.show_brewer",
    "worksheets.index", "worksheets.learned", "worksheets.caffeine", "blind.new", "blind.show",
    "blind.index", "blind.trial", "bags.show", "bags.index", "filters.show",
    "filters.index", "gear.index", "today.index", "today.more",
)  # fmt: skip


def choose(client: FlaskClient) -> None:
    chosen = {
        "mass_unit": "oz", "volume_unit": "US fl oz", "temp_unit": "°F", "locale": "de",
        "caffeine": "y",
    }  # fmt: skip
    values = page.filled(client.get("/settings").text, holding="mass_unit", **chosen)
    assert client.post("/settings", data=values).status_code == 303


@pytest.fixture
def imperial(client: FlaskClient) -> FlaskClient:
    choose(client)
    return client


def foreign(html: str) -> list[str]:
    """What is seen on the page, in its fields and its charts that is not this household's."""
    typed = [
        value
        for _, values in page.read(html).forms
        for name, held in values.items()
        for value in held
        if name not in HIDDEN
    ]
    figures = re.findall(r'data-chart="[^"]*">(.*?)</script>', html, re.S)
    titles = [title for figure in figures for title in re.findall(r'"text": ?"([^"]*)"', figure)]
    seen = " | ".join([page.text(html), *typed, *titles])
    return [seen[max(0, hit.start() - 40) : hit.end() + 10] for hit in FOREIGN.finditer(seen)]


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("start", ["", "?recipe=1", "?brew=1"])
def test_every_worksheet_speaks_the_households_units(
    imperial: FlaskClient, make: Make, name: str, start: str
) -> None:
    furnish(make, "Plum")
    shown = imperial.get(f"/worksheets/{name}{start if name in KEEPING else ''}").text
    assert 'id="answer"' in shown
    assert foreign(shown) == []
    assert "No answer yet" not in shown


def test_nothing_sticks_of_the_units_before(client: FlaskClient) -> None:
    seen = [f"/worksheets/{name}" for name in SHEETS]
    assert all(foreign(client.get(address).text) for address in seen)
    choose(client)
    for address in seen:
        assert foreign(client.get(address).text) == [], address
    assert 'data-point=","' in client.get("/").text


@pytest.mark.parametrize(("name", "typed", "sentence"), SLIPS)
def test_what_is_said_of_a_slip_speaks_them_too(
    imperial: FlaskClient, make: Make, name: str, typed: dict[str, str], sentence: str
) -> None:
    make.brewer(name="Small press", capacity_g=240.0)
    shown = ask(
        imperial, name, **{field: value.replace(".", ",") for field, value in typed.items()}
    )
    assert foreign(shown) == []


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("strength", {"water_temp_c": "140"}, "Water below about 176 °F takes out less"),
        ("strength", {"water_temp_c": ""}, "taken as 176 °F or hotter"),
        ("ice", {"ice_c": "33"}, "Please stay between -40 and 32 °F."),
        ("ice", {}, "it stays at 32 °F until the ice is gone"),
        ("ice", {}, "0,4 W/K is a guess"),
        ("ice", {"ice_g": "", "target_c": "36", "target_pct": "1,4"}, "Ice enough for 36 °F would"),
        ("ice", {"ice_g": "0,1"}, "liquid above 140 °F burns within seconds"),
        ("dilute", {}, "Ratio, 1 to 9,71"),
        ("scale", {"capacity_g": "7", "to_cups": "3"}, "holds about 7 oz of brew water"),
        ("scale", {"dose_g": "0"}, "Please stay between 0,00353 and 70,54792 oz."),
        ("share", {"capacity_g": "8,5"}, "less than the 0,24 that tasters noticed"),
        ("paper", {"cold_c": "203"}, "Final temperature must be between 203 and 212 °F."),
        ("water", {"target": "300,5"}, "the two waters reach from 17 to 214 mg/L"),
        ("time", {}, "stirred water of 194 °F"),
        ("strength", {"brewer": "cone"}, "taken to hold 1,7 times the dose (1,5 to 2)"),
        ("time", {"dose_g": "half"}, "Please write a number, such as 17 or 17,4."),
    ],
)
def test_sentences_are_written_anew_not_only_numbers(
    imperial: FlaskClient, name: str, typed: dict[str, str], sentence: str
) -> None:
    assert sentence in page.text(ask(imperial, name, **typed))


def test_brews_recipes_and_pairs_speak_them(
    imperial: FlaskClient, make: Make, app: Flask, journal: Database
) -> None:
    furnish(make, "Plum")
    make.brew(water_temp_c=60.0, dose_g=90.0)
    with Session(journal.reader) as session:
        addresses = pages(app, session)
    addresses |= {"cool": "/brews/4", "pair": "/side-by-side/1/4"}
    for name in (*SUMS, "cool", "pair"):
        answer = imperial.get(addresses[name])
        assert answer.status_code == 200, name
        assert foreign(answer.text) == [], name
    assert "Water below about 176 °F" in page.text(imperial.get("/brews/4").text)


def test_evidence_is_written_with_a_comma_too(
    imperial: FlaskClient, make: Make, journal: Database
) -> None:
    test, _ = rows(make, [ANSWERED | SERVED | CLAIMED | {"seen_at": NOON}] * 3)
    shown = page.text(imperial.get(f"/blind/{test.id}").text)
    assert re.search(r"Evidence for a difference: \d+,\d", shown)
    asked = make.save(Question(text="Does it matter?", asked_at=NOON))
    make.save(QuestionBlindTest(question_id=asked.id, test_id=test.id))
    for address in (f"/blind/{test.id}", f"/questions/{asked.id}", "/blind/new?like=1"):
        assert re.findall(r".{30}\d\.\d", page.text(imperial.get(address).text)) == [], address
