"""Limits of records of another kind than those they were written for: what must be said of them,
and what must not."""

from __future__ import annotations

import pytest

from app.brewing.within.facts import FilterFacts
from tests.brewing.within.test_written import FRESH, cup, cups, pair, scored, text, trials

BOTH = (pair(1, 2, 1),)
PAPER = "cups brewed through one kind of paper filter"


@pytest.mark.parametrize(
    ("low", "high", "said", "beyond"),
    [
        (90, 138, "Brewed for 1.5 and 2.3 min.", "times under 1.5 min or over 2.3 min"),
        (55, 65, "Brewed for 55 and 65 s.", "times under 55 s or over 65 s"),
        (45, 100, "Brewed for 45 and 100 s.", "times under 45 s or over 100 s"),
        (30, 240, "Brewed for 30 and 240 s.", "times under 30 s or over 240 s"),
        (90, 7200, "Brewed for 1.5 and 120 min.", "times under 1.5 min or over 120 min"),
        (3600, 43200, "Brewed for 1 and 12 h.", "times under 1 h or over 12 h"),
    ],
)
def test_times_of_one_sentence_have_one_unit(low: int, high: int, said: str, beyond: str) -> None:
    told = text(brews=(cup(1, steep_s=low), cup(2, steep_s=high)), pairs=BOTH)
    assert said in told
    assert beyond in told[-1]


def test_two_papers_and_one_are_no_setting_that_did_not_differ() -> None:
    told = text(brews=(cup(1), cup(2, filters=FRESH * 2)), pairs=BOTH, asked=("filter",))
    assert told[0] == f"Compared were {PAPER}, with one or two filters at a time."
    assert "filters at a time" not in " ".join(told[1:-1])


def test_two_brewers_of_one_kind_are_compared() -> None:
    brews = (cup(1), cup(2, brewer_id=2, first_brewer_id=2))
    told = text(brews=brews, pairs=BOTH, asked=("brewer",))
    assert told[0] == "Compared were cups brewed in two cones."
    alike = (cup(1), cup(2, brewer_id=2))
    told = text(brews=alike, pairs=BOTH, asked=("brewer",))
    assert told[0].startswith("What is asked about did not differ in these:")


def test_two_waters_of_one_hardness_are_compared() -> None:
    brews = (cup(1), cup(2, water_id=2))
    told = text(brews=brews, pairs=BOTH, asked=("kettle water",))
    assert told[0] == "Compared were cups brewed with two kettle waters, with soft water."
    brews = (cup(1), cup(2, water_id=2, hardness_mg_l=150.0))
    told = text(brews=brews, pairs=BOTH, asked=("kettle water",))
    assert told[0] == "Compared were cups brewed with soft and hard water."


def test_brew_water_is_told_from_all_the_water_of_a_cup() -> None:
    brews = (cup(1, water_g=160.0, bypass_g=64.0), cup(2))
    told = text(brews=brews, pairs=BOTH, asked=("brew water", "bypass water"))
    assert told[:2] == [
        "Compared were cups brewed with 160 and 220 g of brew water.",
        "Compared were cups brewed with 64 g of bypass water or none.",
    ]
    assert any("with 220 g of water" in sentence for sentence in told[2:])
    told = text(brews=cups(2), pairs=BOTH, asked=("brew water",))
    assert " of water" not in " ".join(told)


def test_what_did_not_differ_is_said_apart_where_something_else_did() -> None:
    brews = (cup(1, grind_setting="9"), cup(2, grind_setting="12"))
    told = text(brews=brews, pairs=BOTH, asked=("grind", "grinder", "grinder setting"))
    assert told[:2] == [
        "Compared were cups brewed at two settings of the grinder.",
        "Asked about as well, but the same in all: cups brewed with a medium grind, from one "
        "grinder.",
    ]


def test_what_is_asked_about_may_not_apply() -> None:
    metal = (FilterFacts("metal", 1),)
    told = text(brews=cups(2, filters=metal), pairs=BOTH, asked=("use of the filter",))
    assert told[0] == "What is asked about does not apply to these brews: use of the filter."


def test_a_preference_of_nobody_named_beside_one_of_somebody() -> None:
    told = text(brews=cups(4), pairs=(pair(1, 2, 1), pair(3, 4)))
    assert "Who tasted was not noted for one of the two side by sides." in told
    told = text(brews=cups(3), pairs=(pair(1, 2),), scores=scored(3))
    assert "Who tasted was not noted for the side by side." in told
    assert not any("Who tasted" in one for one in text(brews=cups(2), pairs=BOTH))


def test_trials_without_brews_are_counted_of_all_that_are_told() -> None:
    tests = (trials(2, 1, 2, noted=2, hidden=True), trials(5, 3, 4, noted=2, id=2))
    told = text(brews=cups(4), tests=tests)
    assert "What was brewed for three of the seven blind trials was not noted." in told


def test_a_brew_scored_blind_and_sighted_is_blind_nowhere() -> None:
    brews = (cup(1, grind="coarse"), cup(2))
    told = text(brews=brews, scores=(*scored(1, 2), *scored(1, taster=2, blind=True)))
    assert "in two scored brews, none of them blind." in " ".join(told)
    assert not any("Blind cups" in sentence for sentence in told)


def test_uses_days_and_presses_read_as_they_are_spoken() -> None:
    paper = tuple(
        cup(n, filters=(FilterFacts("paper", 1, use),), rest_days=n - 1, press_s=20 + 9 * n)
        for n, use in enumerate((1, 40), start=1)
    )
    told = " ".join(text(brews=paper, pairs=BOTH, asked=("press time",)))
    assert "with a filter in its 1st or 40th use" in told
    assert ", 0 to 1 day off roast" in told
    assert "Compared were cups brewed with presses of 29 and 38 s." in told
    one = text(brews=cups(2, press_effort=3), pairs=BOTH, asked=("press effort",))
    assert one[0].endswith("cups brewed with a press effort of 3 of five.")


def test_nothing_is_said_of_a_temperature_that_nobody_noted() -> None:
    told = text(brews=cups(2, water_temp_c=None), pairs=BOTH, asked=("water temperature",))
    assert "Not noted: water temperature." in told
    assert not any("°C" in sentence or "hotter" in sentence for sentence in told)
