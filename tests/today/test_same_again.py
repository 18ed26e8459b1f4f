"""Same again offers the last two different habits: whose, and by which recipe."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient

from app.journal.habits import Habit, differs
from tests.support import page
from tests.support.factories import Make


def offered(client: FlaskClient) -> list[str]:
    """The brews that the card's buttons start from."""
    card = client.get("/").text.partition('aria-labelledby="again"')[2].partition("</section>")[0]
    return re.findall(r'href="/brews/new\?like=(\d+)"', card)


def test_each_of_two_people_finds_their_own_cup_one_tap_away(
    client: FlaskClient, make: Make
) -> None:
    mine, yours = make.recipe("Short", dose_g=16.5), make.recipe("Long", dose_g=13.0)
    ida = make.taster(name="Ida")
    first = make.brew(recipe=mine, dose_g=16.5, water_g=205.0)
    make.tasting(first, taster=ida)
    last = [make.brew(recipe=yours, dose_g=13.0) for _ in range(3)][-1]
    assert offered(client) == [str(last.id), str(first.id)]
    assert "Or as Ida: 16.5 g in 205 g, Short" in page.text(client.get("/").text)
    values = page.form(client.get(f"/brews/new?like={first.id}").text, holding="dose_g")
    assert values["dose_g"] == ["16.5"]


def test_one_habit_is_offered_once(client: FlaskClient, make: Make) -> None:
    recipe = make.recipe("Short")
    brews = [make.brew(recipe=recipe, dose_g=14.0 + 0.2 * n) for n in range(4)]
    assert offered(client) == [str(brews[-1].id)]


def test_without_recipes_amounts_tell_and_what_is_in_the_bin_is_no_habit(
    client: FlaskClient, make: Make
) -> None:
    large = make.brew(dose_g=22.0, water_g=340.0)
    last = make.brew(dose_g=14.0, water_g=220.0)
    assert offered(client) == [str(last.id), str(large.id)]
    make.put_in_the_bin(large)
    assert offered(client) == [str(last.id)]


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [
        ((None, 1, 14.0), (None, 1, 20.0), False),
        ((None, 1, 14.0), (None, 2, 14.0), True),
        ((None, 1, 14.0), (None, None, 14.0), True),
        (("Ida", 1, 14.0), ("Ove", 1, 14.0), True),
        (("Ida", 1, 14.0), (None, 1, 14.0), False),
        ((None, None, 14.0), (None, None, 14.8), False),
        ((None, None, 14.0), (None, None, 17.0), True),
    ],
)
def test_what_makes_another_habit(
    one: tuple[str | None, int | None, float],
    other: tuple[str | None, int | None, float],
    apart: bool,
) -> None:
    a, b = (Habit(1, whose, recipe, None, dose, 220.0) for whose, recipe, dose in (one, other))
    assert differs(a, b) is apart
    assert differs(b, a) is apart
