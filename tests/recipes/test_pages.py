"""Recipes: written down, found again, taken from a brew, binned and restored."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import AbstractContextManager

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.recipes import pickable_revisions, revision
from app.models import Recipe
from app.web.recipe_form import MOST_STEPS
from tests.support import page
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.recipes import POURS, kinds, revisions, send, steps, text

Watch = Callable[[], AbstractContextManager[list[str]]]


def test_a_recipe_is_written_down_with_its_steps(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brewer = make.brewer(name="Blue press")
    answer = send(
        client, "/recipes/new", name="Morning cup", note="For dull days.",
        brewer_id=str(brewer.id), dose_g="14,5", water_g="260", grind="medium-fine",
        water_temp_c="93", steep_s="2:30", press_s="30", stirs="3", flipped="y", why="A start",
        **steps(
            {"kind": "bloom", "starts_s": "0", "lasts_s": "30", "grams": "60"},
            {"kind": "pour", "starts_s": "0:30", "grams": "200", "note": "in circles"},
        ),
    )  # fmt: skip
    assert answer.status_code == 303
    (made,) = revisions(journal)
    assert (made.number, made.why, made.made_at) == (1, "A start", NOON)
    assert (made.brewer_id, made.dose_g, made.water_g) == (brewer.id, 14.5, 260)
    assert (made.grind, made.water_temp_c, made.steep_s) == ("medium-fine", 93, 150)
    assert (made.press_s, made.stirs, made.flipped) == (30, 3, True)
    assert (made.bypass_g, made.ice_g) == (0, 0)
    first, second = made.steps
    assert (first.position, first.kind, first.lasts_s, first.grams) == (1, "bloom", 30, 60)
    assert (second.position, second.starts_s, second.note) == (2, 30, "in circles")

    shown = text(client, answer.location)
    for said in ("Morning cup", "For dull days.", "1 : 17.9", "56 g/L", "2:30", "in circles"):
        assert said in shown
    assert "sums differ" not in shown
    assert f"/brews/new?recipe={made.id}" in client.get(answer.location).text


def test_steps_go_by_their_place_and_empty_rows_are_no_steps(
    client: FlaskClient, journal: Database
) -> None:
    rows = steps(
        {"kind": "pour", "place": "1", "grams": "200"},
        {"kind": "press", "place": "3"},
        {"kind": "", "place": "2"},
        {"kind": "stir", "place": "1,5"},
        {"kind": "bloom", "place": "0.5"},
    )
    answer = client.post(
        "/recipes/new", data=rows | {"name": "A", "dose_g": "11", "water_g": "200", "grind": "fine"}
    )
    assert answer.status_code == 303
    (made,) = revisions(journal)
    assert kinds(made) == ["bloom", "pour", "stir", "press"]
    assert [step.position for step in made.steps] == [1, 2, 3, 4]


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ({"name": ""}, "Name: Please fill this in."),
        ({"dose_g": ""}, "Dose: Please fill this in."),
        ({"water_g": "0"}, "Please stay between 1 and 40000 g."),
        ({"grind": "powder"}, "Please choose one from the list."),
        ({"brewer_id": "77"}, "Please choose one from the list."),
        ({"stirs": "1.5"}, "Please write a whole number."),
        ({"steep_s": "1:75"}, "Please write seconds"),
        ({"why": "x" * 301}, "Keep this within 300 characters."),
        ({"steps-0-grams": "20"}, "Step 1. What: Choose what is done in this step."),
        ({"steps-1-kind": "boil"}, "Step 2. What: Please choose one from the list."),
        ({"steps-1-kind": "pour", "steps-1-grams": "1e3"}, "Step 2. Water or ice: Please write"),
        ({"steps-2-starts_s": "soon"}, "Step 3. What: Choose what is done in this step."),
    ],
)
def test_a_slip_is_answered_and_the_input_stays(
    client: FlaskClient, journal: Database, typed: dict[str, str], message: str
) -> None:
    base = {"name": "Sunday", "dose_g": "11", "water_g": "200", "note": "as it was typed"}
    answer = send(client, "/recipes/new", **base | typed)
    assert answer.status_code == 422
    assert message in page.text(answer.text)
    kept = page.form(answer.text, holding="dose_g")
    assert kept["note"] == ["as it was typed"]
    for name, value in typed.items():
        if name not in ("grind", "brewer_id", "steps-1-kind"):
            assert kept[name] == [value]
    assert revisions(journal) == []


def test_the_form_stands_without_its_script_and_holds_what_it_needs(client: FlaskClient) -> None:
    opened = client.get("/recipes/new").text
    spare = [f"steps-{n}-kind" for n in range(3)]
    assert all(name in page.form(opened, holding="dose_g") for name in spare)
    pattern = re.search(r"<template[^>]*>(.*?)</template>", opened, re.DOTALL)
    assert pattern
    for name in ("place", "kind", "starts_s", "lasts_s", "grams", "note"):
        assert f'name="steps-N-{name}"' in pattern[1]
    assert f'data-most="{MOST_STEPS}"' in opened


def test_hostile_step_rows_are_refused_or_ignored(client: FlaskClient, journal: Database) -> None:
    base = {"name": "A", "dose_g": "11", "water_g": "200", "grind": "fine"}
    ignored = {f"steps-{n}-kind": "pour" for n in ("²", "N", "-1", "9" * 5000, "40", "")}
    assert client.post("/recipes/new", data=base | ignored).status_code == 303
    assert [kinds(made) for made in revisions(journal)] == [[]]
    assert client.post("/recipes/new", data={"steps-0-kind": "pour"}).status_code == 422
    assert client.post("/recipes/new", data={}).status_code == 422


def test_a_recipe_is_binned_and_restored_and_brews_keep_it(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    recipe = make.recipe(name="House cup")
    make.brew(recipe=recipe)
    address = f"/recipes/{recipe.id}"
    assert client.post(address + "/bin").status_code == 303
    assert "in the bin" in text(client, address)
    assert "House cup" not in text(client, "/recipes")
    with Session(journal.reader) as session:
        assert pickable_revisions(session) == []
    assert client.post(address + "/restore").status_code == 303
    client.get(address)
    assert "House cup" in text(client, "/recipes")
    for verb in ("bin", "restore", "revise"):
        assert client.post(f"/recipes/99/{verb}").status_code == 404


def test_the_list_shows_latest_numbers_and_last_brew(
    client: FlaskClient, make: Make, freeze: Callable[[str], None]
) -> None:
    freeze("2026-03-10T12:00")
    recipe = make.recipe(name="Cup", dose_g=11.0, water_g=200.0)
    make.revision(recipe, dose_g=12.5, water_g=200.0, water_temp_c=93.0, steep_s=90)
    make.recipe(name="Another")
    make.brew(recipe=recipe, brewed_at="2026-03-07T08:00")
    make.brew(recipe=recipe, brewed_at="2026-03-09T08:00", binned_at=NOON)
    shown = text(client, "/recipes")
    assert "12.5 g in 200 g, 1 : 16.0 · 93 °C · steep 1:30 revision 2 brewed 3 days ago" in shown
    assert "11 g" not in shown
    assert shown.index("Another") < shown.index("Cup")
    assert "not brewed yet" in shown


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("épices", {"Épices d’hiver"}),
        ("EPICES", {"Épices d’hiver"}),
        ("straße", {"Kurz"}),
        ("strasse morning", {"Kurz"}),
        ("morning", {"Kurz", "House cup"}),
        ("50%", set()),
        ("", {"Kurz", "House cup", "Épices d’hiver"}),
    ],
)
def test_recipes_are_found_by_words(
    client: FlaskClient, make: Make, words: str, found: set[str]
) -> None:
    make.recipe(name="House cup", note="Every morning.")
    make.recipe(name="Kurz", note="Morning, by the Straße.")
    make.recipe(name="Épices d’hiver")
    shown = page.text(client.get("/recipes", query_string={"q": words}).text)
    assert {n for n in ("House cup", "Kurz", "Épices d’hiver") if n in shown} == found
    assert ("No recipe fits" in shown) == (not found)


def test_an_empty_list_offers_the_first_step(client: FlaskClient) -> None:
    assert "No recipes yet" in text(client, "/recipes")


def test_a_brew_becomes_a_recipe(client: FlaskClient, journal: Database, make: Make) -> None:
    brew = make.brew(
        dose_g=22.0, water_g=240.0, bypass_g=160.0, ice_g=30.0, grind="coarse", water_temp_c=95.0,
        steep_s=105, press_s=30, stirs=2, flipped=True, note="Too bitter", tds_pct=1.3,
    )  # fmt: skip
    answer = send(client, f"/recipes/from-brew/{brew.id}", to="/recipes/new", name="Big mug")
    assert answer.status_code == 303
    (made,) = revisions(journal)
    for name in ("brewer_id", "dose_g", "water_g", "bypass_g", "ice_g", "grind", "water_temp_c",
                 "steep_s", "press_s", "stirs", "flipped"):  # fmt: skip
        assert getattr(made, name) == getattr(brew, name)
    assert kinds(made) == ["pour", "stir", "steep", "press", "dilute", "ice"]
    assert [step.grams for step in made.steps] == [240, None, None, None, 160, 30]
    assert made.why == "As brewed on 5 Jan 2026"
    shown = text(client, answer.location)
    assert "sums differ" not in shown
    assert "Too bitter" not in shown
    assert client.get("/recipes/from-brew/99").status_code == 404


def test_a_bare_brew_becomes_a_bare_recipe(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brew = make.brew(dose_g=11.0, water_g=200.0)
    send(client, f"/recipes/from-brew/{brew.id}", to="/recipes/new", name="Plain")
    (made,) = revisions(journal)
    assert kinds(made) == ["pour"]


def test_the_latest_revision_of_each_recipe_can_be_picked(journal: Database, make: Make) -> None:
    recipe = make.recipe(name="b")
    second = make.revision(recipe, steps=POURS)
    other = make.recipe(name="A")
    with Session(journal.reader) as session:
        rows = [tuple(row) for row in pickable_revisions(session)]
        assert rows == [(other.revisions[0].id, other.id, "A", 1), (second.id, recipe.id, "b", 2)]
        found = revision(session, second.id)
        assert found is not None
        assert (found.recipe.name, kinds(found)) == ("b", ["bloom", "pour"])
        assert revision(session, 99) is None


def test_text_is_escaped(client: FlaskClient, make: Make) -> None:
    evil = "<script>alert(1)</script>"
    recipe = make.recipe(name=evil, note=evil, why=evil, steps=[{"kind": "stir", "note": evil}])
    make.revision(recipe, why=evil)
    for address in ("", f"/{recipe.id}", f"/{recipe.id}/1", f"/{recipe.id}/revise", "/new"):
        assert "<script>alert" not in client.get("/recipes" + address).text
    assert "<script>alert" not in client.get("/recipes", query_string={"q": evil}).text


def test_as_many_questions_to_the_database_for_thirty_as_for_three(
    client: FlaskClient, journal: Database, make: Make, statements: Watch
) -> None:
    recipe = make.recipe()
    seen = {}
    for upto, number in ((3, 1), (30, 3)):
        for n in range(number, upto):
            other = make.recipe(name=f"Recipe {n}", steps=POURS)
            make.brew(recipe=other)
            make.brew(recipe=recipe)
            brewer = make.brewer(name=f"Brewer {n}")
            make.revision(recipe, number=n + 1, brewer_id=brewer.id, steps=POURS)
        with statements() as asked:
            for address in ("", f"/{recipe.id}", f"/{recipe.id}/1", f"/{recipe.id}/revise"):
                assert client.get("/recipes" + address).status_code == 200
        seen[upto] = len(asked)
    with Session(journal.reader) as session:
        assert len(session.scalars(select(Recipe)).all()) == 30
    assert seen[3] == seen[30]
