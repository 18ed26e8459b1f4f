"""The curve of a brew over its steep time."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing.bounds import GRINDS
from app.brewing.plans.steep import steep_curve, steep_for_strength
from app.brewing.strength.calibration import learn, taught
from app.brewing.strength.cup import Cup
from app.brewing.strength.estimate import estimate_cup
from app.brewing.strength.retention import Retained

CUP = Cup("pressed immersion", 15, 250, water_temp_c=93, tds_pct=1.5, beverage_g=220)
STEEPS = (15, 30, 60, 120, 240, 480, 960)
LEARNED = learn([taught(replace(CUP, steep_s=at), 0.9) for at in STEEPS * 6])
TIMES = [30, 60, 120, 240, 600]


@pytest.mark.parametrize("grind", GRINDS)
def test_strength_rises_with_time_inside_its_band(grind):
    curve = steep_curve(Cup("immersion", 15, 250, grind=grind), TIMES)
    values = [point.strength_pct.value for point in curve]
    assert values == sorted(values)
    assert all(p.strength_pct.low < p.strength_pct.value < p.strength_pct.high for p in curve)
    assert [point.steep_s for point in curve] == TIMES


def test_the_curve_is_estimated_even_for_a_measured_brew():
    point = steep_curve(CUP, [120])[0]
    bare = Cup("pressed immersion", 15, 250, water_temp_c=93, steep_s=120)
    assert point.strength_pct == estimate_cup(bare).strength_pct


def test_a_calibration_moves_the_whole_curve():
    plain, moved = steep_curve(CUP, TIMES), steep_curve(CUP, TIMES, LEARNED)
    for one, other in zip(plain, moved, strict=True):
        assert other.extraction_pct.value == pytest.approx(0.9 * one.extraction_pct.value, rel=0.01)


def test_the_steep_found_is_the_one_on_the_curve():
    wanted = steep_curve(CUP, [90])[0].strength_pct.value
    assert steep_for_strength(CUP, wanted) == pytest.approx(90, abs=0.2)


def test_a_drip_brew_and_a_time_before_the_start_are_refused():
    with pytest.raises(ValueError, match="Only an immersion brew"):
        steep_curve(Cup("cone", 15, 250), TIMES)
    with pytest.raises(ValueError, match="Steep time must be between"):
        steep_curve(CUP, [-1])
    with pytest.raises(ValueError, match="Longest steep must be"):
        steep_for_strength(CUP, 1.2, longest_s=1e9)


@given(
    st.sampled_from(["immersion", "pressed immersion"]),
    st.sampled_from(GRINDS),
    st.floats(5, 30),
    st.floats(0, 300),
    st.sampled_from([None, 40]),
    st.sampled_from([None, LEARNED]),
    st.sampled_from([None, Retained(2.2, 0.1, 5)]),
    st.floats(5, 900),
)
def test_from_a_steep_to_its_strength_and_back(
    kind, grind, ratio, bypass_g, press_s, calibration, retained, steep_s
):
    learned = (calibration, retained)
    bare = Cup(kind, 15, 15 * ratio, bypass_g, press_s=press_s, grind=grind, water_temp_c=90)
    strength = estimate_cup(replace(bare, steep_s=steep_s), *learned).strength_pct.value
    found = steep_for_strength(bare, strength, *learned)
    assert found is not None
    # where the curve is all but flat many a time gives this strength, but none gives another
    again = estimate_cup(replace(bare, steep_s=found), *learned).strength_pct.value
    assert again == pytest.approx(strength, abs=3e-4)  # a hundredth of what a meter tells apart
    assert found <= steep_s + 0.1


def test_too_little_water_for_a_cup_has_no_steep():
    assert steep_for_strength(Cup("immersion", 20, 40), 1.0) is None
