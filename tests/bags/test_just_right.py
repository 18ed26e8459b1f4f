"""What there was too little or too much of in a bag's cups, on the page of the bag."""

from __future__ import annotations

import re

from flask.testing import FlaskClient

from tests.support import page
from tests.support.blind import ANSWERED, CLAIMED, SEEN, SERVED, rows
from tests.support.factories import Make


def told(client: FlaskClient, address: str) -> dict[str, list[str]]:
    """What the card says of each scale, by whose cups it says it of."""
    html = client.get(address).text.partition("Just right?")[2]
    found = re.findall(r"<summary>(.*?)</summary>\s*<ul[^>]*>(.*?)</ul>", html, re.S)
    return {
        page.text(whose): [page.text(line) for line in re.findall(r"<li.*?</li>", lines, re.S)]
        for whose, lines in found
    }


def test_tasters_and_blind_cups_stand_apart_with_counts_and_shares(
    client: FlaskClient, make: Make
) -> None:
    bag, juniper, sorrel = make.bag(), make.taster(name="Juniper"), make.taster(name="Sorrel")
    for step in (1, 2, 3, 4):
        make.tasting(make.brew(bag), taster=juniper, jar_body=step, jar_acidity=None)
    make.tasting(make.brew(bag), taster=juniper, jar_body=5, jar_clarity=3, blind=True)
    make.tasting(make.brew(bag), taster=sorrel, liking=6, jar_acidity=4)
    make.tasting(make.brew(bag), taster=sorrel, liking=6)  # answers none of them
    make.tasting(make.brew(make.bag()), taster=juniper, jar_body=5)  # of another bag
    assert told(client, f"/bags/{bag.id}") == {
        "Juniper, sighted, 4 cups": [
            "Body too little 2 (50 %) · right 1 (25 %) · too much 1 (25 %)"
        ],
        "Juniper, tasted blind, 1 cup": [
            "Body too little 0 (0 %) · right 0 (0 %) · too much 1 (100 %)",
            "Clarity too little 0 (0 %) · right 1 (100 %) · too much 0 (0 %)",
        ],
        "Sorrel, sighted, 1 cup": [
            "Acidity too little 0 (0 %) · right 0 (0 %) · too much 1 (100 %)"
        ],
    }


def test_what_was_tasted_after_a_reveal_or_binned_is_not_counted(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag()
    brew = make.brew(bag)
    _, (trial,) = rows(make, [CLAIMED | SERVED | ANSWERED | SEEN])
    make.tasting(brew, jar_body=1, after_trial_id=trial.id)
    make.put_in_the_bin(make.tasting(brew, jar_body=1))
    make.put_in_the_bin(make.brew(bag))
    assert told(client, f"/bags/{bag.id}") == {}


def test_a_brew_and_the_list_of_tastings_say_them_in_words(client: FlaskClient, make: Make) -> None:
    brew = make.brew()
    make.tasting(brew, jar_strength=3, jar_body=3, jar_acidity=4, jar_sweetness=None)
    said = "Just right: strength, body. A little too much: acidity."
    assert said in page.text(client.get(f"/brews/{brew.id}").text)
    assert said in page.text(client.get("/tastings/").text)
