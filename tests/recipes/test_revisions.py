"""Revisions of a recipe: frozen once brewed, what changed in each, and its steps."""

from __future__ import annotations

import re
from typing import Any

import pytest
from flask.testing import FlaskClient

from app.database import Database
from app.models import RecipeRevision
from tests.support import page
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.recipes import POURS, kinds, revisions, send, steps, text


def test_a_revision_not_brewed_yet_is_changed_in_place(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    recipe = make.recipe(name="Cup", steps=POURS)
    address = f"/recipes/{recipe.id}"
    assert "changed in place" in text(client, address + "/revise")
    answer = send(
        client, address + "/revise", name="Better cup", dose_g="15", **{"steps-0-kind": "pour"}
    )
    assert answer.status_code == 303
    (only,) = revisions(journal)
    assert (only.number, only.dose_g, only.made_at) == (1, 15, recipe.revisions[0].made_at)
    assert kinds(only) == ["pour", "pour"]
    assert [step.grams for step in only.steps] == [40, 180]
    assert "Better cup" in text(client, address)


@pytest.mark.parametrize("binned_at", [None, NOON])
def test_a_brewed_revision_is_frozen_and_saving_makes_the_next(
    client: FlaskClient, journal: Database, make: Make, binned_at: Any
) -> None:
    recipe = make.recipe(steps=POURS)
    make.brew(recipe=recipe, binned_at=binned_at)
    (before,) = revisions(journal)
    address = f"/recipes/{recipe.id}"
    assert "becomes revision 2" in text(client, address + "/revise")

    send(client, address + "/revise", water_temp_c="88", why="Less bitter?")
    frozen, made = revisions(journal)
    assert frozen.water_temp_c is None
    assert kinds(frozen) == kinds(before)
    assert [step.id for step in frozen.steps] == [step.id for step in before.steps]
    assert (made.number, made.water_temp_c, made.why) == (2, 88, "Less bitter?")
    assert kinds(made) == kinds(before)

    shown = text(client, address)
    assert "Less bitter?" in shown
    assert "Water temperature: none, now 88 °C" in shown


def test_a_change_of_steps_alone_makes_the_next_revision_too(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    recipe = make.recipe(steps=POURS)
    make.brew(recipe=recipe)
    send(client, f"/recipes/{recipe.id}/revise", **{"steps-1-note": "straight down"})
    frozen, made = revisions(journal)
    assert [step.note for step in frozen.steps] == ["", "in circles"]
    assert [step.note for step in made.steps] == ["", "straight down"]


def test_no_form_can_change_a_brewed_revision(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """Whatever is posted wherever, what a brew followed stays what it was."""
    recipe = make.recipe(dose_g=14.0, steps=POURS)
    brew = make.brew(recipe=recipe)
    before = said(revisions(journal)[0])
    data = {
        "name": "Other", "dose_g": "99", "water_g": "999", "grind": "coarse", "number": "1",
        "why": "sly", "id": str(recipe.revisions[0].id), "revision_id": "1", "frozen": "",
        **steps({"kind": "ice", "grams": "5"}),
    }  # fmt: skip
    addresses = [
        f"/recipes/{recipe.id}", f"/recipes/{recipe.id}/revise", f"/recipes/{recipe.id}/1",
        f"/recipes/{recipe.id}/1/revise", f"/recipes/{recipe.id}/bin", "/recipes/new",
        f"/recipes/{recipe.id}/restore", f"/recipes/from-brew/{brew.id}",
    ]  # fmt: skip
    for address in addresses + addresses[:2]:
        client.post(address, data=data)
    assert said(revisions(journal)[0]) == before


def said(told: RecipeRevision) -> list[Any]:
    """Every column of a revision and its steps."""
    return [
        [getattr(row, column.key) for column in row.__table__.columns]
        for row in (told, *told.steps)
    ]


def test_saving_a_frozen_revision_unchanged_makes_no_other(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    recipe = make.recipe(steps=POURS, bypass_g=20.0)
    make.brew(recipe=recipe)
    send(client, f"/recipes/{recipe.id}/revise", note="Only the note is new.", why="none")
    assert [r.number for r in revisions(journal)] == [1]
    assert "Only the note is new." in text(client, f"/recipes/{recipe.id}")


def test_a_form_opened_before_the_first_brew_does_not_thaw(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    recipe = make.recipe(dose_g=14.0)
    address = f"/recipes/{recipe.id}/revise"
    opened = page.filled(client.get(address).text, holding="dose_g", dose_g="18")
    make.brew(recipe=recipe)
    client.post(address, data=opened)
    assert [(r.number, r.dose_g) for r in revisions(journal)] == [(1, 14), (2, 18)]


def test_what_changed_is_told_from_the_values(client: FlaskClient, make: Make) -> None:
    old, new = make.brewer(name="Blue press"), make.brewer(name="Red cone", binned_at=NOON)
    recipe = make.recipe(brewer_id=old.id, dose_g=11.0, steep_s=120, steps=POURS)
    bloom, pour = POURS
    press = {"kind": "press", "starts_s": 150, "lasts_s": 30}
    changed = [bloom | {"grams": 45.0}, {"kind": "stir", "note": "once"}, pour, press]
    make.revision(recipe, brewer_id=new.id, dose_g=11.25, steep_s=150, flipped=True, steps=changed)
    make.revision(recipe, number=3, brewer_id=new.id, dose_g=11.25, steps=changed[1:3])
    shown = text(client, f"/recipes/{recipe.id}")
    for line in (
        "Brewer: Blue press, now Red cone",
        "Dose: 11 g, now 11.25 g",
        "Steep: 2:00, now 2:30",
        "Stands: upright, now flipped",
        "Step 1: bloom 40 g at 0:00 for 0:30, now bloom 45 g at 0:00 for 0:30",
        "Step 2 added: stir, once",
        "Step 4 added: press at 2:30 for 0:30",
        "Steep: 2:30, now none",
        "Step 1 left out: bloom 45 g at 0:00 for 0:30",
        "Step 4 left out: press at 2:30 for 0:30",
    ):
        assert line in shown
    assert "Grind:" not in shown
    assert "Brew water:" not in shown


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"steps": POURS}, None),
        (
            {"steps": POURS, "water_g": 240.0},
            "The pours add up to 220 g, but the brew water is 240 g.",
        ),
        ({"steps": POURS, "bypass_g": 50.0}, None),
        ({"steps": [*POURS, {"kind": "pour"}], "water_g": 240.0}, None),
        (
            {"steps": [*POURS, {"kind": "pour"}], "water_g": 200.0},
            "The pours add up to 220 g, but the brew water is 200 g.",
        ),
        (
            {"steps": [*POURS, {"kind": "dilute", "grams": 50.0}]},
            "The dilute steps add up to 50 g, but the bypass water is 0 g.",
        ),
        (
            {"steps": [{"kind": "ice", "grams": 0.1}, {"kind": "ice", "grams": 0.2}], "ice_g": 0.3},
            None,
        ),
        ({"steps": [{"kind": "press"}]}, None),
    ],
)
def test_sums_of_steps_that_disagree_are_hinted_at(
    client: FlaskClient, make: Make, given: dict[str, Any], sentence: str | None
) -> None:
    shown = text(client, f"/recipes/{make.recipe(**given).id}")
    assert ("sums differ" in shown) == (sentence is not None)
    assert (sentence or "") in shown


def test_the_scale_shows_what_was_poured_so_far(client: FlaskClient, make: Make) -> None:
    more = [{"kind": "stir"}, {"kind": "pour"}, {"kind": "pour", "grams": 9.0}]
    recipe = make.recipe(steps=POURS + more)
    shown = client.get(f"/recipes/{recipe.id}").text
    poured = re.findall(r'<td class="n" data-th="Poured">([^<]*)</td>', shown)
    assert [" ".join(cell.split()) for cell in poured] == ["40 g", "220 g", "–", "–", "–"]


def test_an_older_revision_has_its_own_page_and_brews(client: FlaskClient, make: Make) -> None:
    recipe = make.recipe(name="Cup", dose_g=11.0)
    make.revision(recipe, dose_g=12.0)
    first = make.brew(recipe=recipe)
    latest = client.get(f"/recipes/{recipe.id}").text
    older = client.get(f"/recipes/{recipe.id}/1").text
    assert f"/brews/{first.id}" in older
    assert f"/brews/{first.id}" not in latest
    assert "an older one; the latest is revision 2" in page.text(older)
    assert "11 g" in page.text(older)
    assert "revise" not in older
    for missing in (f"/recipes/{recipe.id}/3", f"/recipes/{recipe.id}/0", "/recipes/99"):
        assert client.get(missing).status_code == 404


def test_only_the_latest_ten_brews_are_listed(client: FlaskClient, make: Make) -> None:
    recipe = make.recipe()
    brews = [make.brew(recipe=recipe) for _ in range(12)]
    shown = client.get(f"/recipes/{recipe.id}").text
    listed = [int(n) for n in re.findall(r'href="/brews/(\d+)"', shown)]
    assert listed == [brew.id for brew in brews[:1:-1]]
