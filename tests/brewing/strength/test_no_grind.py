"""A grind that nobody noted: taken as medium, with a range that holds whatever it was."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from app.brewing.bounds import GRINDS
from app.brewing.strength.calibration import learn, taught
from app.brewing.strength.cup import Cup
from app.brewing.strength.estimate import estimate_cup
from app.brewing.strength.expected import expected_extraction
from app.brewing.strength.notes import NO_GRIND
from tests.honesty.learned import HELD, household

STEEPED = Cup("immersion", 15.0, 240.0, water_temp_c=93.0, steep_s=150.0, grind="", stirs=3)
DRIP = Cup("cone", 15.0, 240.0, water_temp_c=93.0, grind="")


@pytest.mark.parametrize("cup", [STEEPED, DRIP], ids=["steeped", "drip"])
def test_it_is_taken_as_medium_with_a_wider_range_and_said(cup: Cup) -> None:
    unknown, medium = estimate_cup(cup), estimate_cup(replace(cup, grind="medium"))
    assert unknown.strength_pct
    assert medium.strength_pct
    assert unknown.strength_pct.value == medium.strength_pct.value
    assert unknown.strength_pct.low < medium.strength_pct.low
    assert unknown.strength_pct.high > medium.strength_pct.high
    assert NO_GRIND in unknown.notes
    assert NO_GRIND not in medium.notes


def test_the_range_reaches_from_coarse_to_fine() -> None:
    unknown = expected_extraction(STEEPED)
    for grind in GRINDS:
        value = expected_extraction(replace(STEEPED, grind=grind)).value
        assert unknown.low <= value <= unknown.high


@pytest.mark.parametrize("steep_s", [45.0, 150.0, 400.0])
@pytest.mark.parametrize("stirs", [3, 0, None])
def test_it_holds_for_truths_unlike_the_model(steep_s: float, stirs: int | None) -> None:
    """Households with other kinetics, each cup ground anyhow; see tests/honesty/learned.py."""
    draw, held, tried = Random(20261126), 0, 600
    for _ in range(tried):
        made = replace(STEEPED, steep_s=steep_s, stirs=stirs, grind=draw.choice(GRINDS))
        truth = household(draw).extraction(made, draw)
        expected = expected_extraction(replace(made, grind=""))
        held += expected.low <= truth <= expected.high
    assert held / tried >= HELD


def test_what_is_learned_of_one_not_noted_says_little_of_a_grind_that_is() -> None:
    learned = learn([taught(STEEPED, 1.1)] * 6)
    assert expected_extraction(STEEPED, learned).high - expected_extraction(
        STEEPED, learned
    ).low < (expected_extraction(STEEPED).high - expected_extraction(STEEPED).low)
    coarse = replace(STEEPED, grind="coarse")
    before, after = expected_extraction(coarse), expected_extraction(coarse, learned)
    assert after.high - after.low > 0.6 * (before.high - before.low)
