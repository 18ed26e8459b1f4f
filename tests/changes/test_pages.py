"""What should I change?: on the pages of a brew, a bag and a recipe, and on pages of its own."""

from __future__ import annotations

import re
from datetime import date
from html import unescape
from urllib.parse import parse_qs, urlsplit

import pytest
from flask.testing import FlaskClient

from app.models import Bag, Recipe
from tests.support import page
from tests.support.factories import Make


def says(client: FlaskClient, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return page.text(answer.text.partition("<main")[2]).replace("\xa0", " ")


def ways(client: FlaskClient, address: str) -> list[dict[str, str]]:
    """What each "Brew it so" fills in."""
    found = re.findall(r'href="([^"]*)">Brew it so', client.get(address).text)
    queries = [parse_qs(urlsplit(unescape(one)).query, keep_blank_values=True) for one in found]
    return [{name: of[0] for name, of in query.items()} for query in queries]


@pytest.fixture
def bag(make: Make) -> Bag:
    """Twenty days of one press and one recipe, every second too bitter and liked less."""
    bag, grinder = make.bag(), make.grinder()
    press = make.brewer(kind="pressed immersion", capacity_g=290.0)
    for day in range(20):
        brew = make.brew(bag, press, grinder_id=grinder.id, steep_s=100, water_temp_c=91.0, stirs=3)
        if day % 2:
            make.tasting(brew, liking=5 + day % 3 % 2, jar_bitterness=4)
        else:
            make.tasting(brew, liking=8, jar_bitterness=3)
    return bag


def test_a_bag_says_what_costs_most_and_offers_prefilled_changes(
    client: FlaskClient, make: Make, bag: Bag
) -> None:
    told = says(client, f"/bags/{bag.id}")
    assert "Too much bitterness costs most: in 10 of 20 cups, which were liked 2.6 less" in told
    found = ways(client, f"/bags/{bag.id}")
    assert [sorted(one.keys() - {"like"}) for one in found] == [["water_g"], ["grind"]]
    assert 220 < float(found[0]["water_g"]) <= 290
    assert found[1]["grind"] == "medium-coarse"


def test_a_change_is_one_tap_from_a_brew_form_that_has_it(client: FlaskClient, bag: Bag) -> None:
    (address, *_) = re.findall(r'href="([^"]*)">Brew it so', client.get(f"/bags/{bag.id}").text)
    wanted = ways(client, f"/bags/{bag.id}")[0]["water_g"]
    form = client.get(unescape(address)).text
    assert re.search(
        rf'name="water_g"[^>]*value="{wanted}"|value="{wanted}"[^>]*name="water_g"', form
    )


def test_each_says_how_sure_it_is(client: FlaskClient, bag: Bag) -> None:
    told = says(client, f"/changes/bag/{bag.id}")
    assert "Frost, Ristenpart & Guinard 2020" in told
    assert "For this kind of brewer nobody has shown it." in told
    assert "Your own cups do not tell yet." in told
    assert "too much bitterness 10 of 20 (50 %) 1.3 2.6 (" in told
    assert "nothing noted explains it" in told


def test_cups_that_differ_in_one_thing_and_were_liked_better_come_first(
    client: FlaskClient, make: Make
) -> None:
    bag, cone = make.bag(), make.brewer(kind="cone")
    for day in range(20):
        cooler = day % 2 == 0
        brew = make.brew(bag, cone, water_temp_c=88.0 if cooler else 94.0)
        make.tasting(brew, liking=8 if cooler else (6, 5)[day // 2 % 2])
    assert [one["water_temp_c"] for one in ways(client, f"/bags/{bag.id}")] == ["88"]
    told = says(client, f"/bags/{bag.id}")
    assert "Water at 88 °C, not 94 °C from your cups" in told
    assert "10 cups differed in this alone and were liked 2.5 more than 10 as now" in told


def test_no_claim_where_the_age_of_the_bag_could_explain_it(
    client: FlaskClient, make: Make
) -> None:
    """Bitterness is called in the second half of the bag, when every cup is liked less."""
    bag = make.bag(roasted_on=date(2026, 1, 1))
    for day in range(16):
        old = day >= 8
        make.tasting(
            make.brew(bag), liking=5 + day % 2 if old else 8, jar_bitterness=4 if old else 3
        )
    told = says(client, f"/changes/bag/{bag.id}")
    assert "could explain it" in told
    assert "costs most" not in told


def test_one_cup_is_answered_from_its_own_tasting(client: FlaskClient, make: Make) -> None:
    brew = make.brew(make.bag(), make.brewer(kind="cone"), grinder_id=make.grinder().id)
    make.tasting(brew, jar_strength=2, jar_acidity=3)
    told = says(client, f"/brews/{brew.id}")
    assert "Juniper found too little strength in this cup." in told
    (only,) = ways(client, f"/brews/{brew.id}")
    assert only["like"] == str(brew.id)
    assert float(only["water_g"]) < 220


def test_a_cup_said_both_ways_by_one_taster_is_not_off(client: FlaskClient, make: Make) -> None:
    brew = make.brew()
    make.tasting(brew, jar_strength=2)
    make.tasting(brew, jar_strength=4)
    assert "What should I change?" in says(client, f"/brews/{brew.id}")
    assert ways(client, f"/brews/{brew.id}") == []


def test_tasters_are_never_pooled(client: FlaskClient, make: Make) -> None:
    """Who likes them and calls none bitter, and who does not: neither says anything alone."""
    bag, juniper, sorrel = make.bag(), make.taster(name="Juniper"), make.taster(name="Sorrel")
    for day in range(16):
        one = juniper if day % 2 else sorrel
        make.tasting(
            make.brew(bag),
            taster=one,
            liking=8 if day % 2 else 5,
            jar_bitterness=3 if day % 2 else 4,
        )
    assert "costs most" not in says(client, f"/changes/bag/{bag.id}")
    assert "Sorrel, sighted" in says(client, f"/changes/bag/{bag.id}?taster={sorrel.id}")


def test_a_recipe_is_read_over_its_bags(client: FlaskClient, make: Make, recipe: Recipe) -> None:
    told = says(client, f"/recipes/{recipe.id}")
    assert "Too much strength in 6 of 8 cups." in told
    assert ways(client, f"/recipes/{recipe.id}")


@pytest.fixture
def recipe(make: Make) -> Recipe:
    recipe, cone = make.recipe(), make.brewer(kind="cone")
    for day in range(8):
        brew = make.brew(make.bag(), cone, recipe)
        make.tasting(brew, liking=6, jar_strength=4 if day < 6 else 3)
    return recipe


def test_nothing_to_say_shows_no_section_but_a_link(client: FlaskClient, make: Make) -> None:
    bag = make.bag()
    for _ in range(2):
        make.tasting(make.brew(bag), jar_body=3)
    shown = client.get(f"/bags/{bag.id}").text
    assert "<h2>What should I change?</h2>" not in shown
    assert f'href="/changes/bag/{bag.id}">What should I change?' in shown


@pytest.mark.parametrize(
    ("cups", "answers", "missing"),
    [
        (0, {}, "Nothing has been brewed yet, so there is nothing to change."),
        (1, {}, "The one scored cup has no just-right answers. It takes 4 cups on one side"),
        (2, {}, "The 2 scored cups have no just-right answers."),
        (2, {"jar_body": 3}, "2 cups with just-right answers on 2 days: not enough on one side"),
    ],
)
def test_a_page_opened_early_says_what_is_missing(
    client: FlaskClient, make: Make, cups: int, answers: dict[str, int], missing: str
) -> None:
    bag = make.bag()
    for _ in range(cups):
        make.tasting(make.brew(bag), **answers)
    told = says(client, f"/changes/bag/{bag.id}")
    assert missing in told
    assert "Takes off the mean" not in told


def test_what_was_tasted_after_a_reveal_or_binned_does_not_count(
    client: FlaskClient, make: Make, bag: Bag
) -> None:
    before = says(client, f"/changes/bag/{bag.id}")
    brew = make.brew(make.bag())
    make.put_in_the_bin(make.tasting(brew, liking=1, jar_bitterness=3))
    make.put_in_the_bin(make.brew(bag))
    assert says(client, f"/changes/bag/{bag.id}") == before
