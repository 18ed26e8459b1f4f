"""Dilution conserves dissolved coffee, and the water found reaches the target."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing import dilution

strengths = st.floats(0.001, 0.2)
masses = st.floats(1, 40000)


def test_published_value(case):
    found = getattr(dilution, case["call"])(**case["inputs"])
    assert found == pytest.approx(case["expected"], abs=case["tolerance"], rel=0)


@given(strengths, masses, st.floats(0, 40000))
def test_dissolved_coffee_is_neither_made_nor_lost(strength, beverage_g, added_g):
    diluted = dilution.strength_diluted(strength, beverage_g, added_g)
    assert diluted * (beverage_g + added_g) == pytest.approx(strength * beverage_g, rel=1e-9)


@given(strengths, masses, st.floats(0.01, 1))
def test_the_water_found_reaches_the_target(strength, beverage_g, part):
    target = strength * part
    added_g = dilution.water_to_dilute(strength, beverage_g, target)
    assert dilution.strength_diluted(strength, beverage_g, added_g) == pytest.approx(
        target, rel=1e-9
    )
    # the other way round: what must be strong of the whole
    assert (beverage_g + added_g) * target / strength == pytest.approx(beverage_g, rel=1e-9)


@pytest.mark.parametrize("target", [0, -0.1, 0.03, float("nan")])
def test_water_cannot_strengthen(target):
    with pytest.raises(ValueError, match="Water only weakens"):
        dilution.water_to_dilute(0.02, 100, target)


def test_masses_that_cannot_be_are_refused():
    with pytest.raises(ValueError, match="cannot be negative"):
        dilution.strength_diluted(0.02, 100, -1)
