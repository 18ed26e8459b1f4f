"""Two cups that share what is unknown of them are compared by their difference."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing.bounds import GRINDS
from app.brewing.strength.calibration import learn, taught
from app.brewing.strength.cup import Cup
from app.brewing.strength.difference import Known, difference
from app.brewing.strength.estimate import estimate_cup

POT = Cup("immersion", 15.0, 300.0, water_temp_c=93.0, steep_s=240.0, stirs=3)
CONE = Cup("cone", 15.0, 250.0, water_temp_c=93.0)
NOTHING = Known()


def between(a, b, known=NOTHING, alike=True):
    return difference(a, b, known, known, alike)


@pytest.mark.parametrize("stirs", [3, None])
def test_fault_10_a_fifth_more_water_makes_a_weaker_cup_for_certain(stirs):
    """The ranges of the two cups overlap: 300 g against 360 g, all else equal."""
    a = replace(POT, stirs=stirs)
    b = replace(a, water_g=360.0)
    assert estimate_cup(b).strength_pct.high > estimate_cup(a).strength_pct.low
    assert between(a, b).strength_pct.low > 0
    assert between(b, a).strength_pct.high < 0


def test_fault_10_four_minutes_extract_more_than_one_for_certain_and_twenty_seconds_do_not():
    assert between(POT, replace(POT, steep_s=60.0)).extraction_pct.low > 0
    later = between(POT, replace(POT, steep_s=220.0)).extraction_pct
    assert later.low < 0 < later.value < later.high


def test_two_cups_alike_differ_by_chance_alone():
    found = between(POT, POT).extraction_pct
    assert found.value == 0
    assert found.low == pytest.approx(-found.high)
    apart = between(POT, POT, alike=False).extraction_pct
    assert apart.high > 1.5 * found.high


def test_what_was_learned_narrows_the_difference():
    twenty = Known(learn([taught(POT, 0.95)] * 20))
    wide, narrow = (between(POT, replace(POT, water_g=330.0), known) for known in (NOTHING, twenty))
    assert narrow.strength_pct.high - narrow.strength_pct.low < (
        wide.strength_pct.high - wide.strength_pct.low
    )


def test_measured_cups_keep_the_errors_of_their_meter():
    a, b = (
        replace(CONE, tds_pct=1.40, beverage_g=220.0),
        replace(CONE, tds_pct=1.30, beverage_g=220.0),
    )
    found = between(a, b).strength_pct
    assert found.value == pytest.approx(0.1)
    assert found.high - found.value == pytest.approx(0.03 * 2**0.5)


def test_a_cup_without_an_estimate_has_no_difference():
    assert between(POT, replace(POT, water_temp_c=20.0)) == (None, None)
    assert between(replace(CONE, kind="other"), replace(CONE, kind="other")) == (None, None)


cups = st.builds(
    Cup,
    st.sampled_from(["immersion", "cone"]),
    st.floats(8, 30),
    st.floats(150, 500),
    bypass_g=st.floats(0, 200),
    water_temp_c=st.none() | st.floats(62, 100),
    steep_s=st.floats(0, 900),
    grind=st.sampled_from(GRINDS),
    stirs=st.sampled_from([None, 0, 2]),
)


@given(cups, cups, st.booleans())
def test_a_difference_turned_round_has_the_other_sign(a, b, alike):
    one, other = between(a, b, alike=alike), between(b, a, alike=alike)
    for ours, theirs in zip(one, other, strict=True):
        assert (ours is None) == (theirs is None)
        if ours is not None:
            assert ours.low <= ours.value <= ours.high
            assert tuple(ours) == pytest.approx(
                (-theirs.value, -theirs.high, -theirs.low), abs=1e-9
            )
