"""What is asked once before a brew is saved: unusual amounts, and what its recipe says."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.alike import set_alike
from app.models import Brew, Brewer
from tests.support import page
from tests.support.factories import Make

NEW = "/brews/new"
KEEP = "Keep it and save"


def refilled(answer: Any, holding: str = "dose_g", **typed: Any) -> page.Values:
    return page.filled(answer.text, holding=holding, **typed)


def saved(journal: Database) -> list[Brew]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Brew).order_by(Brew.id)))


def habit(make: Make, brews: int = 6, **given: Any) -> None:
    for number in range(brews):
        make.brew(**{"dose_g": 14.0 + number % 3 / 2, "water_g": 220.0, "steep_s": 120} | given)


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("dose_g", "150", "Dose: you usually take 14 g to 15 g in this brewer; is 150 g right?"),
        ("dose_g", "1.5", "is 1.5 g right?"),
        ("water_g", "2200", "Brew water: you usually take 220 g in this brewer; is 2200 g right?"),
        ("steep_s", "12:00", "Steep: you usually take 2:00 in this brewer; is 12:00 right?"),
    ],
)
def test_an_amount_far_from_the_usual_is_asked_about_once_and_kept_by_saving_again(
    client: FlaskClient, make: Make, journal: Database, name: str, typed: str, said: str
) -> None:
    habit(make)
    values = page.filled(client.get(NEW).text, holding="dose_g", note="kept note", **{name: typed})
    asked = client.post(NEW, data=values)
    assert asked.status_code == 422
    assert said in page.text(asked.text)
    assert f'<a href="#{name}">' in asked.text
    assert f'id="{name}"' in asked.text
    assert len(saved(journal)) == 6
    again = refilled(asked)
    assert again["note"] == ["kept note"]
    assert client.post(NEW, data=again).status_code == 303
    assert len(saved(journal)) == 7


def test_a_mended_amount_is_saved_without_another_question(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    habit(make)
    asked = client.post(NEW, data=page.filled(client.get(NEW).text, holding="dose_g", dose_g="150"))
    assert client.post(NEW, data=refilled(asked, dose_g="15")).status_code == 303
    assert saved(journal)[-1].dose_g == 15


@pytest.mark.parametrize("typed", [{"dose_g": "18"}, {"dose_g": "11"}, {"steep_s": "4:00"}])
def test_another_taste_is_no_slip(
    client: FlaskClient, make: Make, journal: Database, typed: dict[str, str]
) -> None:
    habit(make)
    values = page.filled(client.get(NEW).text, holding="dose_g", **typed)
    assert client.post(NEW, data=values).status_code == 303


def test_nothing_is_usual_yet_in_a_brewer_with_few_brews(client: FlaskClient, make: Make) -> None:
    habit(make)
    other = make.brewer(name="Another")
    for _ in range(4):
        make.brew(brewer=other)
    values = page.filled(client.get(NEW).text, holding="dose_g", dose_g="150")
    assert client.post(NEW, data=values).status_code == 303


def test_alike_brewers_share_what_is_usual(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    left, right = make.brewer(name="Left"), make.brewer(name="Right")
    for _ in range(6):
        make.brew(brewer=left)
    make.brew(brewer=right)
    with journal.writing() as session:
        set_alike(session, session.get_one(Brewer, right.id), left.id)
    values = page.filled(client.get(NEW).text, holding="dose_g", dose_g="150")
    assert values["brewer_id"] == [str(right.id)]
    assert client.post(NEW, data=values).status_code == 422


def test_one_odd_brew_makes_no_habit(client: FlaskClient, make: Make) -> None:
    habit(make)
    make.brew(dose_g=150.0)
    values = page.filled(client.get(NEW).text, holding="dose_g", dose_g="150")
    assert client.post(NEW, data=values).status_code == 422


def test_a_change_asks_about_what_it_changes_only(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    habit(make)
    odd = make.brew(dose_g=150.0)
    address = f"/brews/{odd.id}/edit"
    kept = page.filled(client.get(address).text, holding="dose_g", note="as meant")
    assert client.post(address, data=kept).status_code == 303
    worse = page.filled(client.get(address).text, holding="dose_g", water_g="2200")
    asked = client.post(address, data=worse)
    assert asked.status_code == 422
    text = page.text(asked.text)
    assert "is 2200 g right?" in text
    assert "is 150 g right?" not in text
    assert client.post(address, data=refilled(asked)).status_code == 303


def test_of_two_cups_each_is_asked_about(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    habit(make)
    two = "/brews/two/new"
    values = page.filled(client.get(two).text, holding="a-dose_g", **{"b-dose_g": "150"})
    asked = client.post(two, data=values)
    assert asked.status_code == 422
    assert 'href="#b-dose_g"' in asked.text
    assert 'href="#a-dose_g"' not in asked.text
    assert client.post(two, data=refilled(asked, "a-dose_g")).status_code == 303
    assert [brew.dose_g for brew in saved(journal)[-2:]] == [15, 150]


def test_a_recipe_chosen_without_script_says_what_differs_and_fills_it_in_when_asked(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    make.brew(dose_g=13.0, water_g=210.0, water_temp_c=88.0, stirs=2)
    recipe = make.recipe("Long cup", dose_g=16.5, water_g=240.0, steep_s=215, grind="coarse")
    revision_id = str(recipe.revisions[0].id)
    values = page.filled(
        client.get(NEW).text, holding="dose_g", revision_id=revision_id, water_g="222"
    )
    asked = client.post(NEW, data=values)
    assert asked.status_code == 422
    assert (
        "Long cup, revision 1, says dose 16.5 g (here 13 g), brew water 240 g (here 222 g), "
        "grind coarse (here medium), steep 3:35 (here –)."
    ) in page.text(asked.text)
    assert refilled(asked)["water_g"] == ["222"]
    filled = client.post(NEW, data=refilled(asked, fill="y"))
    assert filled.status_code == 422
    again = refilled(filled)
    assert [again[name] for name in ("dose_g", "water_g", "grind", "steep_s")] == [
        ["16.5"], ["240"], ["coarse"], ["3:35"],
    ]  # fmt: skip
    assert again["water_temp_c"] == ["88"]
    assert len(saved(journal)) == 1
    assert client.post(NEW, data=again).status_code == 303
    brew = saved(journal)[-1]
    assert (brew.dose_g, brew.water_g, brew.stirs) == (16.5, 240.0, 2)


@pytest.mark.parametrize(("alike", "said"), [(True, ""), (False, "brewer Left press (here Right")])
def test_a_recipe_for_the_left_press_says_nothing_of_one_alike(
    client: FlaskClient, make: Make, alike: bool, said: str
) -> None:
    """Else cup B would be put into the brewer of cup A."""
    left = make.brewer(name="Left press")
    right = make.brewer(name="Right press", alike_to_id=left.id if alike else None)
    recipe = make.recipe(brewer_id=left.id, dose_g=14.0, water_g=220.0, grind="medium")
    make.brew(brewer=right)
    values = page.filled(
        client.get(NEW).text, holding="dose_g", revision_id=str(recipe.revisions[0].id)
    )
    answer = client.post(NEW, data=values)
    assert answer.status_code == (422 if said else 303)
    assert said in page.text(answer.text)


def test_what_differs_from_the_recipe_is_kept_by_saving_again(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    make.brew(dose_g=13.0)
    recipe = make.recipe(dose_g=16.5)
    revision_id = str(recipe.revisions[0].id)
    values = page.filled(client.get(NEW).text, holding="dose_g", revision_id=revision_id)
    asked = client.post(NEW, data=values)
    assert client.post(NEW, data=refilled(asked)).status_code == 303
    brew = saved(journal)[-1]
    assert (brew.dose_g, brew.revision_id) == (13.0, recipe.revisions[0].id)


def test_the_recipe_of_the_last_brew_is_not_asked_about_every_morning(
    client: FlaskClient, make: Make
) -> None:
    make.brew(recipe=make.recipe(dose_g=16.5), dose_g=13.0)
    values = page.filled(client.get(NEW).text, holding="dose_g")
    assert client.post(NEW, data=values).status_code == 303


def test_a_part_of_the_page_says_what_the_recipe_says(client: FlaskClient, make: Make) -> None:
    recipe = make.recipe("Long cup", dose_g=16.5, water_g=240.0)
    address = f"/brews/look/recipe?a-revision_id={recipe.revisions[0].id}&a-dose_g=16,5"
    differs = client.get(f"{address}&a-water_g=200&a-grind=medium").text
    assert "brew water 240 g (here 200 g)." in page.text(differs)
    assert "{&#34;a-water_g&#34;: &#34;240&#34;}" in differs
    same = client.get(f"{address}&a-water_g=240&a-grind=medium").text
    assert "All stands as Long cup, revision 1, says." in page.text(same)
    assert "data-fill" not in same
