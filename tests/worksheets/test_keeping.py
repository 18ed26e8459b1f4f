"""From a recipe or brew to an answer, and from the answer to a recipe or tomorrow's brew."""

from __future__ import annotations

import re

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Brew, Recipe
from tests.support import page
from tests.support.factories import Make
from tests.support.recipes import POURS, kinds, revisions
from tests.support.worksheets import ask, brew_links, keep, said

STEPS = [
    *POURS,
    {"kind": "steep", "starts_s": 0, "lasts_s": 120},
    {"kind": "press", "starts_s": 120, "lasts_s": 30, "note": "slowly"},
    {"kind": "dilute", "grams": 30.0},
]
FULL = {"dose_g": 15.0, "water_g": 220.0, "bypass_g": 30.0, "steep_s": 120, "steps": STEPS}
OUNCE_G = 28.349523125  # avoirdupois, 1959
KEEPING = ("scale", "share", "dilute", "ice", "strength", "strong", "time")


def recipes(journal: Database) -> list[Recipe]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Recipe).order_by(Recipe.id)))


def test_a_recipe_is_scaled_step_by_step_and_kept_as_its_next_revision(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    recipe = make.recipe("House cup", "With care.", **FULL, brewer_id=make.brewer().id)
    make.brew(recipe=recipe)
    shown = ask(client, "scale", f"?recipe={recipe.revisions[0].id}", to_cups="2")
    assert "Keep as revision 2 of House cup" in shown
    answer = keep(client, shown, **{"as": "revision"})
    assert answer.status_code == 303
    old, new = revisions(journal)
    assert [step.grams for step in old.steps] == [40, 180, None, None, 30]
    assert (new.number, new.dose_g, new.water_g, new.bypass_g) == (2, 30, 440, 60)
    assert [step.grams for step in new.steps] == [80, 360, None, None, 60]
    assert [step.note for step in new.steps] == ["", "in circles", "", "slowly", ""]
    assert (new.brewer_id, new.steep_s) == (old.brewer_id, 120)
    assert new.why == "Worksheet: Scale"
    assert [r.note for r in recipes(journal)] == ["With care."]


def test_a_recipe_not_brewed_yet_is_changed_and_the_button_says_so(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    recipe = make.recipe("House cup", **FULL)
    shown = ask(client, "scale", f"?recipe={recipe.revisions[0].id}", to_cups="2")
    assert "Change revision 1 of House cup, not brewed yet" in shown
    keep(client, shown, **{"as": "revision"})
    assert [(r.number, r.dose_g) for r in revisions(journal)] == [(1, 30)]


def test_an_answer_is_kept_as_a_new_recipe(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    shown = ask(client, "scale", dose_g="15", water_g="250", to_cups="2")
    assert "as=" not in shown
    answer = keep(client, shown, name="Two mugs", **{"as": "new"})
    assert "Two mugs" in page.text(client.get(answer.location).text)
    (made,) = revisions(journal)
    assert (made.dose_g, made.water_g, made.grind) == (30, 500, "")
    assert kinds(made) == ["pour"]


def test_every_worksheet_keeps_what_it_proposes_to_brew(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """The numbers of the brew form, and those of the recipe, are the answer's."""
    recipe = make.recipe("House cup", **FULL, brewer_id=make.brewer(capacity_g=240.0).id)
    make.brew(recipe=recipe)
    for name in KEEPING:
        shown = ask(client, name, f"?recipe={recipe.revisions[0].id}")
        for which, link in enumerate(brew_links(shown)):
            answer = keep(client, shown, which, name=f"{name} {which}", **{"as": "new"})
            assert answer.status_code == 303, name
            kept = revisions(journal)[-1]
            form = page.form(client.get("/brews/new", query_string=link).text, holding="dose_g")
            for column in ("dose_g", "water_g", "bypass_g", "ice_g"):
                value = form[column][0]
                assert float(value or 0) == getattr(kept, column), (name, column)
            poured = [step.grams for step in kept.steps if step.kind in ("bloom", "pour")]
            assert abs(sum(poured) - kept.water_g) < 0.05, name
            added = [step.grams for step in kept.steps if step.kind == "dilute"]
            assert abs(sum(added) - kept.bypass_g) < 0.05, name


def test_a_longer_steep_moves_the_press(client: FlaskClient, journal: Database, make: Make) -> None:
    recipe = make.recipe("House cup", **FULL)
    shown = ask(client, "time", f"?recipe={recipe.revisions[0].id}", other_s="4:00")
    keep(client, shown, name="Longer", **{"as": "new"})
    longer = revisions(journal)[-1]
    assert longer.steep_s == 240
    assert [(s.starts_s, s.lasts_s) for s in longer.steps[2:4]] == [(0, 240), (240, 30)]


def test_a_recipe_without_a_name_is_not_kept(client: FlaskClient, journal: Database) -> None:
    shown = ask(client, "scale", to_cups="2")
    answer = keep(client, shown, name="  ", **{"as": "new"})
    assert answer.status_code == 422
    assert "Please fill this in." in answer.text
    assert recipes(journal) == []


def test_nothing_is_kept_without_an_answer(client: FlaskClient, journal: Database) -> None:
    for query in ("dose_g=much", "dose_g=15&which=9"):
        answer = client.post(f"/worksheets/scale?{query}", data={"which": "7", "name": "Odd"})
        assert answer.status_code == 422
    assert recipes(journal) == []


def test_a_binned_recipe_can_be_started_from_but_not_revised(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    recipe = make.recipe("Old cup", **FULL)
    make.put_in_the_bin(recipe)
    shown = ask(client, "scale", f"?recipe={recipe.revisions[0].id}")
    assert "of Old cup" not in shown
    keep(client, shown, name="Again", **{"as": "revision"})
    assert [r.name for r in recipes(journal)] == ["Old cup", "Again"]
    assert [r.number for r in revisions(journal)] == [1, 1]


def test_from_a_brew_to_tomorrows(client: FlaskClient, journal: Database, make: Make) -> None:
    """Bag, filter and what else was set come from the brew, the numbers from the answer."""
    bag, paper = make.bag(), make.filter()
    brew = make.brew(bag, filters=[paper], dose_g=15.0, water_g=250.0, steep_s=100, stirs=3)
    make.brew(make.bag(make.bean(name="Other")), dose_g=9.0)
    shown = ask(client, "scale", f"?brew={brew.id}", to_cups="2")
    link = brew_links(shown)[0]
    opened = client.get("/brews/new", query_string=link).text
    form = page.form(opened, holding="dose_g")
    assert (form["bag_id"], form["filter_1"]) == ([str(bag.id)], [str(paper.id)])
    client.post("/brews/new", data=form)
    with Session(journal.reader) as session:
        saved = session.scalars(select(Brew).order_by(Brew.id.desc())).first()
    assert saved is not None
    assert (saved.dose_g, saved.water_g, saved.steep_s, saved.stirs) == (30, 500, 100, 3)


def test_the_latest_recipes_and_brews_are_offered_to_start_from(
    client: FlaskClient, make: Make
) -> None:
    live = make.recipe("House cup")
    make.put_in_the_bin(make.recipe("Old cup"))
    brew = make.brew()
    listed = client.get("/worksheets/ice/from").text
    assert f'href="/worksheets/ice?recipe={live.revisions[0].id}"' in listed
    assert f'href="/worksheets/ice?brew={brew.id}"' in listed
    assert "Old cup" not in listed
    assert 'href="/worksheets/ice/from"' in client.get("/worksheets/ice").text
    for name in ("caffeine", "water", "paper", "learned", "nothing"):
        assert client.get(f"/worksheets/{name}/from").status_code == 404
        assert f"/worksheets/{name}/from" not in client.get(f"/worksheets/{name}").text


def test_what_is_gone_is_not_found(client: FlaskClient) -> None:
    for query in ("recipe=77", "brew=77"):
        assert client.get(f"/worksheets/scale?{query}").status_code == 404
    for query in ("recipe=x", "brew=", "recipe=99999999999999999999"):
        assert client.get(f"/worksheets/scale?{query}").status_code == 200


def test_a_household_of_ounces_scales_brews_and_keeps_in_ounces(
    client: FlaskClient, journal: Database
) -> None:
    chosen = page.filled(
        client.get("/settings").text, holding="mass_unit", mass_unit="oz", locale="de"
    )
    client.post("/settings", data=chosen)
    shown = ask(client, "scale", dose_g="0,5", water_g="8", to_cups="2")
    assert "16 oz brew water" in page.text(shown)
    link = brew_links(shown)[0]
    form = page.form(client.get("/brews/new", query_string=link).text, holding="dose_g")
    ounces = float(form["dose_g"][0].replace(",", "."))
    assert ounces == pytest.approx(1.0, abs=0.0505 / OUNCE_G)  # to what a scale shows
    keep(client, shown, name="Ounces", **{"as": "new"})
    assert revisions(journal)[0].dose_g == pytest.approx(ounces * OUNCE_G, abs=0.001)


def test_a_recipe_and_a_brew_have_their_way_to_the_worksheets(app: Flask, make: Make) -> None:
    """The row that their pages include leads to worksheets that open."""
    recipe, brew = make.recipe(), make.brew()
    starts = ({"recipe": recipe.revisions[0].id}, {"brew": brew.id})
    for start in starts:
        with app.test_request_context():
            row = app.jinja_env.get_template("worksheets/_links.html")
            html = str(row.module.worksheet_links(**start))  # type: ignore[attr-defined]
        found = re.findall(r'href="([^"]+)"', html)
        assert [link.split("/")[2].split("?")[0] for link in found] == list(KEEPING)
        assert all(app.test_client().get(link).status_code == 200 for link in found)


def test_the_page_says_what_the_estimate_has_learned(client: FlaskClient, make: Make) -> None:
    brewer, grinder = make.brewer(), make.grinder()
    for _ in range(3):
        make.brew(
            brewer=brewer, grinder_id=grinder.id, dose_g=15.0, water_g=240.0, tds_pct=1.5,
            steep_s=240,
        )  # fmt: skip
    own = said(client, "strength", brewer=str(brewer.id), grinder_id=str(grinder.id))
    assert "learned from 3 measured brews with this brewer and grinder" in own
    other = said(client, "strength", brewer="immersion")
    assert "no measured brew with this brewer and grinder has taught it anything" in other
