"""With no cup, one cup or two, pages say what is missing, and draw no chart of nothing."""

from __future__ import annotations

from datetime import date

import pytest
from flask.testing import FlaskClient

from tests.support import page
from tests.support.factories import Make

DRAWN = 'class="chart"', 'class="still"'
TWO_POINTS = {"/bags/1", "/filters/1"}  # two cups are two points of a line
# What each page says of no cup, of one and of two; empty where there is no such page yet.
SAYS: dict[str, tuple[str, str, str]] = {
    "/groups/?a-material=paper&a-use_to=1&b-material=paper&b-use_from=2": (
        "No cup of either group has been scored.",
        "No scored cup of B yet, so there is nothing to compare.",
        "A has 1 cup on 1 day, B 1 cup on 1 day: too few for a range.",
    ),
    "/ranking/": (
        "A ranking takes two recipes, and there are none.",
        "A ranking takes two recipes",
        "No preference between two recipes yet",
    ),
    "/looking-back/": ("No brews yet", "1 brew in 2026", "2 brews in 2026"),
    "/looking-back/month?year=2026&month=1": (
        "Nothing was brewed", "7.0 over 1 score", "7.0 over 2 scores"
    ),
    "/looking-back/bags": ("No cup has been scored yet.", "1 cup", "2 cups"),
    "/looking-back/bags?along=season": ("No cup has been scored yet.", "too few", "too few"),
    "/looking-back/best": (
        "No scored cups yet", "no repeat of it scored", "no repeat of it scored"
    ),
    "/tasters/": (
        "Nobody has scored a cup yet",
        "how well this taster repeats is not known",
        "how well this taster repeats is not known",
    ),
    "/bags/1": (
        "",
        "One cup so far. Charts over the bag's days begin with the second.",
        "Too early to say whether liking moves",
    ),
    "/changes/bag/1": (
        "",
        "1 cup with just-right answers on 1 day: not enough on one side yet.",
        "2 cups with just-right answers on 2 days: not enough on one side yet.",
    ),
    "/changes/recipe/1": (
        "", "Nothing to change was found.", "Nothing to change was found."
    ),
    "/experiments/": ("None planned yet", "None planned yet", "None planned yet"),
    "/experiments/new?bag=1": (
        "A new bag", "a spread of 0.8 points is assumed", "a spread of 0.8 points is assumed"
    ),
    "/filters/1": ("", "1st", "Too early to say whether liking moves"),
    "/recipes/1": ("", "Brew this", "Brew this"),
}  # fmt: skip


@pytest.mark.parametrize("cups", [0, 1, 2])
def test_of_few_cups_little_is_said_and_nothing_drawn(
    client: FlaskClient, make: Make, cups: int
) -> None:
    if cups:
        paper, bag = make.filter(), make.bag(roasted_on=date(2025, 12, 28))
        for n in range(cups):
            recipe = make.recipe(f"Recipe {n}", steep_s=90 + n)
            brew = make.brew(bag, recipe=recipe, filters=[paper], steep_s=90 + n)
            make.tasting(brew, jar_bitterness=4)
    for address, said in SAYS.items():
        if not said[cups]:
            continue
        answer = client.get(address)
        assert answer.status_code == 200
        assert said[cups] in page.text(answer.text).replace("\xa0", " "), address
        if not (cups == 2 and address in TWO_POINTS):
            assert not [mark for mark in DRAWN if mark in answer.text], address
