"""The page of a ranking: what it says of nothing, of little and of much, and what it leaves out."""

from __future__ import annotations

import csv
import re
from datetime import timedelta
from io import StringIO
from typing import Any

import pytest
from flask.testing import FlaskClient

from app.models import BlindTest, Recipe
from tests.support import page
from tests.support.asking import blind_test, says, trial
from tests.support.clock import FIRST_BREW
from tests.support.factories import Make

DRAWN = 'class="chart"'


def beside(make: Make, one: Recipe, other: Recipe, preference: str | None, **of_b: Any) -> None:
    """Two brews of a morning, one by each recipe, and which was preferred."""
    at = {"brewed_at": make_at()}
    make.side_by_side(
        make.brew(recipe=one, **at), make.brew(recipe=other, **at | of_b), preference=preference
    )


class _Mornings:
    count = 0


def make_at() -> Any:
    _Mornings.count = (_Mornings.count + 1) % 300
    return FIRST_BREW + timedelta(minutes=_Mornings.count)


def preference_test(make: Make, one: Recipe, other: Recipe, cups: str, **plan: Any) -> BlindTest:
    """A blind test of two recipes; `cups` has the one preferred in each trial, - for neither."""
    plain = {
        "method": "preference", "attribute": "", "more": None,
        "a_revision_id": one.revisions[0].id, "b_revision_id": other.revisions[0].id,
    }  # fmt: skip
    who = plan.pop("who", None) or make.taster()
    test = blind_test(make, "", who, **plain | plan)
    for number, cup in enumerate(cups, start=1):
        trial(make, test, who, number, "AB", answer={"A": 1, "B": 2, "-": 0}[cup])
    return test


def two(make: Make) -> tuple[Recipe, Recipe]:
    return make.recipe("Long steep"), make.recipe("Short steep")


def test_an_empty_journal_says_what_is_missing(client: FlaskClient) -> None:
    said = says(client, "/ranking/")
    assert "No preference between two recipes yet" in said
    assert "A ranking takes two recipes, and there are none." in said
    assert DRAWN not in client.get("/ranking/").text


def test_the_order_is_a_table(client: FlaskClient, make: Make) -> None:
    long, short = two(make)
    for preference in "aab":
        beside(make, long, short, preference)
    answer = client.get("/ranking/?as=csv")
    rows = list(csv.DictReader(StringIO(answer.text, newline="")))
    assert [(row["tasted"], row["island"], row["place"], row["recipe"], row["preferred"])
            for row in rows] == [
        ("sighted", "1", "1", "Long steep", "2"), ("sighted", "1", "2", "Short steep", "1"),
    ]  # fmt: skip
    chances = [float(row["chance_best_of_its_island"]) for row in rows]
    assert sum(chances) == pytest.approx(1.0, abs=0.01)


def test_two_recipes_are_offered_to_begin_with(client: FlaskClient, make: Make) -> None:
    long, short = two(make)
    make.recipe("Never brewed")
    make.brew(recipe=short)
    make.brew(recipe=long)
    answer = client.get("/ranking/").text
    assert "Brew Long steep and Short steep" in page.text(answer)
    form = f"/brews/two/new?recipe={long.revisions[0].id}&recipe_b={short.revisions[0].id}"
    assert form.replace("&", "&amp;") in answer
    assert "Each is filled in as its recipe says, the rest like the last brew." in says(
        client, form
    )


def test_one_and_two_preferences_say_what_is_missing(client: FlaskClient, make: Make) -> None:
    long, short = two(make)
    beside(make, long, short, "b")
    said = says(client, "/ranking/")
    assert "One preference: Short steep over Long steep." in said
    assert "An order begins with 3 preferences: 2 more." in said
    beside(make, long, short, "b")
    assert "2 preferences between 2 recipes: too few for an order." in says(client, "/ranking/")
    assert DRAWN not in client.get("/ranking/").text


def test_few_preferences_separate_nothing(client: FlaskClient, make: Make) -> None:
    long, short = two(make)
    for preference in "aabaaba":
        beside(make, long, short, preference)
    beside(make, long, short, "neither")
    beside(make, long, short, None)
    said = says(client, "/ranking/")
    assert "Nothing separates them yet: 7 preferences between 2 recipes." in said
    assert "Once neither was preferred: that counts for neither." in said
    assert "chances in 100 that it is the best" not in said
    assert DRAWN in client.get("/ranking/").text


def test_many_find_one_and_likings_do_not_count(client: FlaskClient, make: Make) -> None:
    long, short = two(make)
    for _ in range(14):
        beside(make, long, short, "a")
    brew = make.brew(recipe=short)
    for _ in range(3):
        make.tasting(brew, liking=9)
    assert (
        "Long steep is preferred: 99 chances in 100 that it is the best of the 2 that were "
        "compared. 14 preferences." in says(client, "/ranking/")
    )


def test_blind_and_sighted_are_apart(client: FlaskClient, make: Make) -> None:
    long, short = two(make)
    for _ in range(4):
        beside(make, long, short, "a")
    preference_test(make, long, short, "BBB-B")
    sighted, _, blind = says(client, "/ranking/").partition("Blind Nothing")
    assert "4 preferences between 2 recipes" in sighted
    assert "separates them yet: 4 preferences between 2 recipes." in blind
    assert "All are Juniper’s." in blind


def test_what_hides_its_results_or_was_thrown_away_does_not_count(
    client: FlaskClient, make: Make
) -> None:
    long, short = two(make)
    preference_test(make, long, short, "BB", balanced=True, several_tasters=True)
    make.put_in_the_bin(preference_test(make, long, short, "AA", title="Another", who=make.taster(
        name="Sage")))  # fmt: skip
    assert "A ranking takes" not in says(client, "/ranking/")
    assert "No preference between two recipes yet" in says(client, "/ranking/")


def test_cups_of_one_pair_of_brews_count_once(client: FlaskClient, make: Make) -> None:
    long, short = two(make)
    preference_test(make, long, short, "BBBAB", claim="these cups", brewing="one pair")
    said = says(client, "/ranking/")
    assert "One preference: Short steep over Long steep." in said
    assert "4 more preferences were of two brews that count already" in said


def test_where_more_than_the_recipe_differs_it_is_left_out_or_asked_for(
    client: FlaskClient, make: Make
) -> None:
    long, short = two(make)
    beside(make, long, short, "a", dose_g=18.0, water_temp_c=80.0)  # a recipe says so
    beside(make, long, short, "b", bag_id=make.bag().id)
    beside(make, long, short, "b", brewer_id=make.brewer(name="Green press").id)
    said = says(client, "/ranking/")
    assert "One preference: Long steep over Short steep." in said
    assert "2 preferences are left out: more than the recipe differed" in said
    assert "bag (1)" in said
    assert "brewer (1)" in said
    every = says(client, "/ranking/?every=1")
    assert "Nothing separates them yet: 3 preferences between 2 recipes." in every
    assert "In 2 of them more than the recipe differed" in every


def test_islands_are_not_ranked_against_each_other(client: FlaskClient, make: Make) -> None:
    long, short = two(make)
    fine, coarse = make.recipe("Fine"), make.recipe("Coarse")
    for _ in range(3):
        beside(make, long, short, "a")
        beside(make, fine, coarse, "a")
    said = says(client, "/ranking/")
    assert "cannot be ranked against each other: Long steep and Short steep; Fine and Coarse." in (
        said
    )
    assert "Long steep against Fine, which also links recipes that were never compared" in said


def test_the_next_pair_is_one_tap_to_the_form_of_both(client: FlaskClient, make: Make) -> None:
    long = make.recipe("Long steep", steep_s=200, dose_g=13.0)
    short = make.recipe("Short steep", steep_s=50, dose_g=17.0)
    for _ in range(3):
        beside(make, long, short, "a")
    answer = client.get("/ranking/").text
    (link,) = re.findall(r'href="(/brews/two/new\?[^"]+)"', answer)
    form = client.get(link.replace("&amp;", "&")).text
    sent = page.filled(form, holding="a-dose_g")
    assert (sent["a-dose_g"], sent["b-dose_g"]) == (["13"], ["17"])
    assert sent["a-revision_id"] == [str(long.revisions[0].id)]
    assert sent["b-revision_id"] == [str(short.revisions[0].id)]


def test_tasters_and_bags_can_be_chosen(client: FlaskClient, make: Make) -> None:
    long, short = two(make)
    sage, bag = make.taster(name="Sage"), make.bag()
    for taster, preferred in ((make.taster(name="Reed"), "a"), (sage, "b")):
        one, other = (
            make.brew(bag, recipe=recipe, brewed_at=FIRST_BREW) for recipe in (long, short)
        )
        for brew in (one, other):
            make.tasting(brew, taster)
        make.side_by_side(one, other, preference=preferred)
    beside(make, long, short, "b")
    said = says(client, "/ranking/")
    assert "Whose they are: Sage 1, Reed 1 and nobody noted 1." in said.replace(
        "Reed 1, Sage 1", "Sage 1, Reed 1"
    )
    assert "Different people may like different recipes." in said
    hers = says(client, f"/ranking/?taster={sage.id}")
    assert "One preference: Short steep over Long steep. An order begins" in hers
    assert "2 preferences between 2 recipes" in says(client, f"/ranking/?bag={bag.id}")
    assert "No preference between two recipes yet" in says(client, f"/ranking/?bag={make.bag().id}")


def test_revisions_count_as_their_recipe(client: FlaskClient, make: Make) -> None:
    long, short = two(make)
    beside(make, long, short, "a")
    beside(make, long, short, "a", revision_id=make.revision(short).id)
    said = says(client, "/ranking/")
    assert "2 preferences between 2 recipes" in said
    assert "Short steep 2 0 2" in said


def test_a_recipe_in_the_bin_keeps_its_place_and_is_not_brewed(
    client: FlaskClient, make: Make
) -> None:
    long, short = two(make)
    for _ in range(3):
        beside(make, long, short, "a")
    make.put_in_the_bin(short)
    assert "3 preferences between 2 recipes" in says(client, "/ranking/")
    assert "Brew these two" not in says(client, "/ranking/")


@pytest.mark.parametrize("query", ["bag=999", "taster=999", "bag=999&taster=1&every=1"])
def test_what_does_not_exist_is_not_found(client: FlaskClient, query: str) -> None:
    assert client.get(f"/ranking/?{query}").status_code == 404


@pytest.mark.parametrize("query", ["bag=%00", "taster=-1", "bag=99999999999999999999", "every=%ff"])
def test_rubbish_in_the_address_asks_for_nothing(client: FlaskClient, query: str) -> None:
    assert client.get(f"/ranking/?{query}").status_code == 200


def test_no_more_statements_for_more_preferences(
    client: FlaskClient, make: Make, statements: Any
) -> None:
    long, short = two(make)
    beside(make, long, short, "a")
    preference_test(make, long, short, "A")
    with statements() as few:
        client.get("/ranking/")
    for _ in range(6):
        beside(make, long, short, "a", bag_id=make.bag().id)
    preference_test(make, long, short, "AAB", title="More", who=make.taster(name="Sage"))
    with statements() as many:
        client.get("/ranking/")
    assert len(many) == len(few)
