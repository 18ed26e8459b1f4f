"""What a question says of the evidence gathered under it."""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.support.asking import ask, blind_test, pair, says, tie
from tests.support.clock import NOON
from tests.support.factories import Make

Watch = Callable[[], AbstractContextManager[list[str]]]


def test_a_fair_side_by_side_shows_what_differed_and_what_was_preferred(
    client: FlaskClient, make: Make
) -> None:
    address, saved = ask(client, factor="steep"), pair(make, "b", steep_s=180)
    tie(client, address, "side_by_side", saved)
    shown = says(client, address)
    assert "Steep: Cup A 2:00 Cup B 3:00 Preferred: Cup B" in shown
    assert "Strength of the evidence: anecdote" in shown
    there = says(client, f"/side-by-side/{saved.brew_a_id}/{saved.brew_b_id}")
    sentence = "a fair test: one thing differs, the steep."
    assert sentence in shown
    assert sentence in there


def test_used_filters_are_told_apart_as_on_the_side_by_side_page(
    client: FlaskClient, make: Make
) -> None:
    paper, fresh = make.filter(), make.filter()
    for _ in range(2):
        make.brew(filters=[paper])
    saved = make.side_by_side(
        make.brew(filters=[paper]), make.brew(filters=[fresh]), preference="a"
    )
    address = ask(client, factor="use of the filter")
    tie(client, address, "side_by_side", saved)
    assert (
        "Use of the filter: Cup A 3rd Cup B 1st Preferred: Cup A As far as was noted for both, a "
        "fair test" in says(client, address)
    )


@pytest.mark.parametrize(
    ("b", "preference", "level", "said"),
    [
        ({"steep_s": 180, "dose_g": 20.0}, "b", "anecdote", "Not a fair test: 2 things differ"),
        ({"steep_s": 180}, "neither", "anecdote", "Neither preferred."),
        ({"water_temp_c": 80.0}, "b", "none", "Not what the question is about, so it is not"),
        ({}, "b", "none", "a repeat"),
        ({"steep_s": 180}, None, "none", "No preference noted, so it is not counted."),
    ],
)
def test_other_side_by_sides_say_why_they_weigh_less(
    client: FlaskClient,
    make: Make,
    b: dict[str, Any],
    preference: str | None,
    level: str,
    said: str,
) -> None:
    address = ask(client, factor="steep")
    tie(client, address, "side_by_side", pair(make, preference, **b))
    shown = says(client, address)
    assert said in shown
    assert f"Strength of the evidence: {level} " in shown


def test_four_fair_side_by_sides_one_way_make_a_hint_whichever_cup_was_a(
    client: FlaskClient, make: Make
) -> None:
    address = ask(client, factor="steep")
    for n in range(4):
        longer_is_b = n % 2 == 0
        saved = pair(make, "b" if longer_is_b else "a", steep_s=180 if longer_is_b else 60)
        tie(client, address, "side_by_side", saved)
        level = "hint" if n == 3 else "anecdote"
        assert f"Strength of the evidence: {level}" in says(client, address)
    assert "went the same way (steep: the higher preferred)" in says(client, address)


def test_four_fair_side_by_sides_that_part_ways_make_none(client: FlaskClient, make: Make) -> None:
    address = ask(client, factor="steep")
    for _ in range(4):  # the longer cup, then the shorter
        tie(client, address, "side_by_side", pair(make, "b", steep_s=180))
        tie(client, address, "side_by_side", pair(make, "b", steep_s=60))
    assert "Strength of the evidence: anecdote" in says(client, address)


def test_named_things_agree_by_their_names(client: FlaskClient, make: Make) -> None:
    tap, jug = make.water(name="Tap"), make.water(name="Jug")
    address = ask(client, factor="kettle water")
    for _ in range(4):
        saved = make.side_by_side(
            make.brew(water_id=tap.id), make.brew(water_id=jug.id), preference="b"
        )
        tie(client, address, "side_by_side", saved)
    assert "(kettle water, Jug or Tap: Jug preferred)" in says(client, address)


def test_two_papers_in_the_right_press_against_one_in_the_left_answer_the_question(
    client: FlaskClient, make: Make
) -> None:
    """Before, the pair was about another thing, the brewer, and not counted."""
    left = make.brewer(name="Left press")
    right = make.brewer(name="Right press", alike_to_id=left.id)
    one, two, three = (make.filter() for _ in range(3))
    a = make.brew(brewer=left, filters=[one])
    saved = make.side_by_side(a, make.brew(brewer=right, filters=[two, three]), preference="b")
    address = ask(client, factor="filter")
    tie(client, address, "side_by_side", saved)
    shown = says(client, address)
    assert "a fair test: one thing differs, the filter." in shown
    assert "Not what the question is about" not in shown
    assert "Strength of the evidence: anecdote" in shown


def test_alike_brewers_against_a_third_are_one_contrast(client: FlaskClient, make: Make) -> None:
    left = make.brewer(name="Left press")
    right = make.brewer(name="Right press", alike_to_id=left.id)
    small = make.brewer(name="Small press")
    address = ask(client, factor="brewer")
    for press in (left, right, left, right):
        saved = make.side_by_side(make.brew(brewer=small), make.brew(brewer=press), preference="b")
        tie(client, address, "side_by_side", saved)
    assert "(brewer, Left press or Small press: Left press preferred)" in says(client, address)
    assert "Strength of the evidence: hint" in says(client, address)


def test_brews_in_alike_brewers_stand_in_one_group(client: FlaskClient, make: Make) -> None:
    address = ask(client, factor="brewer")
    left = make.brewer(name="Left press")
    right = make.brewer(name="Right press", alike_to_id=left.id)
    for press in (right, make.brewer(name="Pot"), left):
        tie(client, address, "brew", make.brew(brewer=press))
    assert "Left press and Right press 2 0 0 – Pot 1 0 0 –" in says(client, address)
    other = ask(client, factor="steep")
    for press, steep_s in ((left, 120), (right, 180)):
        tie(client, other, "brew", make.brew(brewer=press, steep_s=steep_s))
    assert "Nothing else differs beyond the tolerance." in says(client, other)


def test_brews_stand_in_groups_of_the_factor_with_mean_liking(
    client: FlaskClient, make: Make
) -> None:
    address = ask(client, factor="steep")
    for steep_s, liking in ((120, 5), (122, 6), (180, 8)):
        brew = make.brew(steep_s=steep_s)
        make.tasting(brew, liking=liking)
        tie(client, address, "brew", brew)
    tie(client, address, "brew", make.brew(steep_s=180))
    shown = says(client, address)
    assert "2:00 to 2:02 2 2 0 5.5 3:00 2 1 0 8" in shown
    assert "Nothing else differs beyond the tolerance." in shown
    assert "Only cups outside a blind test: 3 scored brews." in shown


def test_brews_that_differ_in_more_say_so(client: FlaskClient, make: Make) -> None:
    address = ask(client, factor="steep")
    for n in range(3):
        tie(client, address, "brew", make.brew(steep_s=120 + 60 * n, dose_g=14.0 + n))
    assert "Between the brews dose differs too, so no single cause can be named." in says(
        client, address
    )


def test_without_a_factor_brews_are_grouped_by_the_only_thing_that_differs(
    client: FlaskClient, make: Make
) -> None:
    address = ask(client)
    tie(client, address, "brew", make.brew(water_temp_c=80.0))
    tie(client, address, "brew", make.brew(water_temp_c=95.0))
    assert "Mean liking by water temperature" in says(client, address)
    tie(client, address, "brew", make.brew(water_temp_c=95.0, dose_g=20.0))
    assert "They differ in several things (dose, water temperature)" in says(client, address)


@pytest.mark.parametrize(
    ("rights", "given", "level", "said"),
    [
        ("rwr", {}, "none", "That is not enough yet to say that"),
        ("rrrr", {}, "hint", "A blind test leans towards a difference"),
        ("rrrrrrr", {"ended": "shown", "stopped_at": NOON}, "shown", "It holds for Juniper;"),
        (
            "rrrrrrr",
            {"ended": "shown", "stopped_at": NOON, "claim": "these cups"},
            "shown for two cups",
            "It is about two brews",
        ),
        ("rrrr", {"ended": "stopped", "stopped_at": NOON}, "hint", "so there is no verdict"),
    ],
)
def test_a_blind_test_gives_its_verdict_and_what_that_does_not_say(
    client: FlaskClient, make: Make, rights: str, given: dict[str, Any], level: str, said: str
) -> None:
    address = ask(client)
    tie(client, address, "blind_test", blind_test(make, rights, **given))
    shown = says(client, address)
    assert f"Strength of the evidence: {level} " in shown
    assert said in shown
    assert f"guessing gets {len(rights) / 2:g} of {len(rights)}" in shown
    assert "It does not say" in shown or "It says neither" in shown
    assert "Paired test: ISO 5495; guessing gets 1/2." in shown


def test_results_that_wait_for_the_end_are_not_told(client: FlaskClient, make: Make) -> None:
    hidden = blind_test(make, "rrrrrrr", several_tasters=True, balanced=True)
    address = ask(client)
    tie(client, address, "blind_test", hidden)
    shown = says(client, address)
    assert "Nobody learns a result before the end of this test." in shown
    assert "7 of 7" not in shown
    assert "Strength of the evidence: none" in shown
    told = json.loads(client.get(f"{address}/export.json").text)["blind_tests"][0]
    assert (told["trials"], told["correct"], told["state"]) == (7, None, "open")


def test_what_is_in_the_bin_is_not_counted(client: FlaskClient, make: Make) -> None:
    """But for preferences in fair side by sides, see test_families."""
    address, saved = ask(client, factor="steep"), pair(make, None, steep_s=180)
    tie(client, address, "side_by_side", saved)
    make.put_in_the_bin(saved)
    shown = says(client, address)
    assert "1 more lies in the bin and is not counted." in shown
    assert "Strength of the evidence: none" in shown
    assert "nothing gathered yet" in says(client, "/questions/")


def test_a_page_asks_as_often_with_much_evidence_as_with_little(
    client: FlaskClient, make: Make, statements: Watch
) -> None:
    address, counts = ask(client, factor="steep"), []
    for rounds in (1, 9):
        for n in range(rounds):
            tie(client, address, "side_by_side", pair(make, "b", steep_s=180))
            brew = make.brew(filters=[make.filter()], steep_s=130)
            make.tasting(brew)
            tie(client, address, "brew", brew)
            tie(client, address, "blind_test", blind_test(make, "rw", title=f"{rounds} {n}"))
        client.get(address)
        with statements() as seen:
            client.get(address)
        counts.append(len(seen))
    assert counts[0] == counts[1] <= 29
