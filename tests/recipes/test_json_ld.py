"""A recipe as JSON-LD: read back exactly, by a code too; a foreign one as far as it goes."""

from __future__ import annotations

import json
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import func, select
from sqlalchemy.orm import Session, selectinload

from app.brewing import bounds
from app.brewing.plans.scaling import PlannedStep
from app.database import Database
from app.journal.revising import steps_of
from app.journal.rows import values_of
from app.models import Recipe, RecipeRevision
from app.models.recipes import STEP_KINDS, Amounts
from app.recipes.ld_finding import MOST_CHARS, NoRecipeError
from app.recipes.ld_reading import read_recipe
from app.recipes.ld_writing import RecipeText, short, whole
from tests.support import page
from tests.support.asking import says
from tests.support.demo import demo_in
from tests.support.factories import Make

# Terms of schema.org's vocabulary, from memory: nothing was looked up.
TERMS = {
    "Recipe": {"name", "description", "version", "recipeIngredient", "recipeInstructions",
               "additionalProperty", "tool", "totalTime"},
    "HowToStep": {"position", "text"},
    "HowToTool": {"name"},
    "PropertyValue": {"name", "value", "unitCode"},
}  # fmt: skip
FOREIGN = {
    "@context": "https://schema.org/",
    "@graph": [
        {"@type": "WebPage", "name": "A page"},
        {
            "@type": ["Recipe", "NewsArticle"],
            "name": "Slow &amp; sweet",
            "image": "https://example.invalid/a.jpg",
            "author": {"@type": "Person", "name": "Somebody"},
            "recipeIngredient": ["17 g coffee beans", "260 ml water, 198 °F", "a pinch of salt"],
            "recipeInstructions": [
                {"@type": "HowToSection", "name": "Brew", "itemListElement": [
                    {"@type": "HowToStep", "text": "<p>Pour 60 g of water and wait.</p>"},
                    {"@type": "HowToStep", "text": "Steep for 2 minutes."},
                ]},
                "Enjoy!",
            ],
        },
    ],
}  # fmt: skip


def values(name: str) -> Any:
    low, high = getattr(bounds, name.upper())
    whole_number = name.endswith("_s") or name == "stirs"
    numbers = st.integers(int(low), int(high)) if whole_number else st.floats(low, high)
    return numbers if name in ("dose_g", "water_g", "bypass_g", "ice_g") else st.none() | numbers


words = st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]), max_size=40).map(
    str.strip
)
amounts = st.builds(
    Amounts,
    **{
        field.name: values(field.name)
        for field in fields(Amounts)
        if field.name not in ("grind", "flipped")
    },
    grind=st.sampled_from(bounds.GRINDS_OR_NONE),
    flipped=st.booleans(),
)
steps = st.builds(
    PlannedStep,
    kind=st.sampled_from(STEP_KINDS),
    grams=st.none() | st.floats(*bounds.BYPASS_G),
    starts_s=st.none() | st.integers(*bounds.STEEP_S),
    lasts_s=st.none() | st.integers(*bounds.STEEP_S),
    note=words,
)
recipes = st.builds(
    RecipeText,
    name=words.filter(bool), note=words, number=st.integers(1, 99), brewer=words, amounts=amounts,
    steps=st.lists(steps, max_size=6),
)  # fmt: skip


def is_read_back(recipe: RecipeText, text: str) -> None:
    found = read_recipe(text)
    assert found.name == recipe.name
    assert Amounts(**found.amounts) == recipe.amounts  # type: ignore[arg-type]
    assert found.steps == list(recipe.steps)
    assert found.told == []


@given(recipes)
def test_any_recipe_is_read_back_exactly(recipe: RecipeText) -> None:
    text = json.dumps(whole(recipe))
    is_read_back(recipe, text)
    assert read_recipe(text).note == recipe.note
    is_read_back(recipe, short(recipe))


def test_every_recipe_of_the_demo_is_read_back_and_its_code_is_short(
    tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    journal = Database(demo_in(tmp_path, tmp_path_factory.getbasetemp()).url)
    with journal.read_session() as session:
        query = select(RecipeRevision, Recipe).join(Recipe)
        rows = session.execute(query.options(selectinload(RecipeRevision.steps))).all()
        for revision, recipe in rows:
            told = RecipeText(
                recipe.name, recipe.note, revision.number, "", values_of(revision, Amounts),
                steps_of(revision),
            )  # fmt: skip
            is_read_back(told, json.dumps(whole(told)))
            is_read_back(told, short(told))
            assert len(short(told).encode()) <= 800
    journal.dispose()
    assert len(rows) > 3


@given(recipes)
def test_only_terms_of_the_vocabulary_are_used(recipe: RecipeText) -> None:
    def look(node: object) -> None:
        if isinstance(node, dict):
            assert set(node) - {"@context", "@type"} <= TERMS[node["@type"]]
            for inner in node.values():
                look(inner)
        elif isinstance(node, list):
            for inner in node:
                look(inner)

    data = whole(recipe)
    assert data["@context"] == "https://schema.org"
    look(data)


# A foreign recipe


def test_a_foreign_recipe_is_read_as_far_as_it_goes() -> None:
    found = read_recipe(json.dumps(FOREIGN))
    assert found.name == "Slow &amp; sweet"
    assert found.amounts == {"dose_g": 17.0, "water_g": 260.0, "water_temp_c": 92.2}
    kinds = [(step.kind, step.grams, step.lasts_s) for step in found.steps]
    assert kinds == [("pour", 60.0, None), ("steep", None, 120), ("", None, None)]
    assert [step.note for step in found.steps] == [
        "Pour 60 g of water and wait.", "Steep for 2 minutes.", "Enjoy!",
    ]  # fmt: skip
    assert "Not read of what goes in: a pinch of salt." in found.told
    assert "Not read: image, author." in found.told
    assert any("steps are in words" in text for text in found.told)


def test_a_recipe_is_found_in_the_source_of_a_page() -> None:
    page_source = (
        '<!doctype html><html><head><script type="application/ld+json">{"@type":"Person"}</script>'
        f'<script type="application/ld+json">{json.dumps(FOREIGN)}</script></head></html>'
    )
    assert read_recipe(page_source).amounts["dose_g"] == 17.0


@pytest.mark.parametrize("text", [
    "", "nothing", "{", "[]", "{}", "null", "NaN", '{"@type":"Person"}', "[" * 100_000,
    '{"a":' * 5000 + "1" + "}" * 5000, '{"@graph":[' * 400 + "]}" * 400, "9" * 5000,
    "x" * (MOST_CHARS + 1), "<html>", "\ud800",
    json.dumps([[{"@graph": [{"@graph": []}] * 40}] * 40] * 40),
])  # fmt: skip
def test_what_is_no_recipe_is_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(NoRecipeError) as why:
        read_recipe(text)
    assert str(why.value).endswith(".")


HOSTILE = [
    {"name": ["a", {"b": 1}], "recipeInstructions": {"text": 5}, "recipeIngredient": 7},
    {"name": {"a": "b"}, "additionalProperty": {"name": "dose_g"}, "tool": [[[["x"]]]]},
    {"name": "x" * 9000, "description": "y" * 50_000, "recipeInstructions": ["z" * 900] * 100},
    {"additionalProperty": [
        {"name": "dose_g", "value": 1e308}, {"name": "water_g", "value": "9" * 400},
        {"name": "steep_s", "value": 2.5}, {"name": "stirs", "value": True},
        {"name": "grind", "value": "dust"}, {"name": ["dose_g"], "value": 1}, None, 3,
    ]},
    {"recipeInstructions": ["pour 1e999 g at 999999 s for 999999 s: x", "press -e+. g"]},
]  # fmt: skip


@pytest.mark.parametrize("data", HOSTILE)
def test_a_hostile_recipe_is_a_form_with_what_could_be_read(
    client: FlaskClient, data: dict[str, Any]
) -> None:
    text = json.dumps({"@type": "Recipe"} | data)
    answer = client.post("/recipes/read", data={"text": text})
    assert answer.status_code == 200
    assert "Read, not saved" in page.text(answer.text)


# The pages


def test_a_recipe_goes_out_by_file_and_card_and_comes_in_through_the_form(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    given_steps = [
        {"kind": "bloom", "grams": 42.5, "starts_s": 0, "lasts_s": 35},
        {"kind": "pour", "grams": 172.5, "starts_s": 35, "note": "in circles <b>"},
    ]
    recipe = make.recipe("Long & slow", "A note", dose_g=13.5, water_g=215.0, water_temp_c=91.5,
                         steep_s=145, stirs=2, steps=given_steps)  # fmt: skip
    shown = client.get(f"/recipes/{recipe.id}").text
    assert f"/recipes/{recipe.id}/1/card" in shown
    card = client.get(f"/recipes/{recipe.id}/1/card")
    assert "<svg" in card.text
    assert "13.5 g in 215 g" in page.text(card.text).replace("\xa0", " ")
    answer = client.get(f"/recipes/{recipe.id}/1/recipe.json")
    assert answer.mimetype == "application/ld+json"
    assert "<b>" in answer.text
    read = client.post("/recipes/read", data={"text": answer.text})
    with Session(journal.reader) as session:
        assert session.scalar(select(func.count(Recipe.id))) == 1  # nothing is saved by reading
    assert "in circles <b>" not in read.text
    assert (
        client.post("/recipes/new", data=page.form(read.text, holding="steps-0-kind")).status_code
        == 303
    )
    with Session(journal.reader) as session:
        query = select(RecipeRevision).options(selectinload(RecipeRevision.steps))
        one, other = session.scalars(query.order_by(RecipeRevision.id)).all()
        assert values_of(one, Amounts) == values_of(other, Amounts)
        assert steps_of(one) == steps_of(other)
        assert session.scalars(select(Recipe.note)).all() == ["A note", "A note"]


def test_a_brewer_that_is_not_here_is_told(client: FlaskClient, make: Make) -> None:
    make.brewer(name="Small press")
    data = {"@type": "Recipe", "name": "A", "tool": [{"name": "Grey dripper"}]}
    answer = client.post("/recipes/read", data={"text": json.dumps(data)})
    assert "The brewer Grey dripper is not in this journal" in page.text(answer.text)


def test_a_recipe_too_long_for_a_code_says_so(client: FlaskClient, make: Make) -> None:
    long = [{"kind": "pour", "grams": 10.0, "note": "slowly " * 30} for _ in range(8)]
    recipe = make.recipe(steps=long)
    said = says(client, f"/recipes/{recipe.id}/1/card")
    assert "Too long for a code that a phone reads" in said


def test_what_cannot_be_read_stays_in_its_field(client: FlaskClient) -> None:
    answer = client.post("/recipes/read", data={"text": "{not a recipe"})
    assert answer.status_code == 422
    assert "This is not JSON as programs write it" in page.text(answer.text)
    assert page.form(answer.text, holding="text")["text"] == ["{not a recipe"]
