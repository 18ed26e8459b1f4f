"""A brew solved with the range that the estimates leave it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing.ranged import Ranged
from app.brewing.strength.solve import solve, solve_between

EXTRACTION, RETENTION = Ranged(0.20, 0.17, 0.23), Ranged(2.0, 1.5, 2.5)


@given(
    st.sampled_from(["immersion", "drip"]),
    st.floats(5, 40),
    st.floats(10, 20),
    st.floats(0, 10),
    st.floats(0.171, 0.229),
    st.floats(1.51, 2.49),
)
def test_every_brew_within_the_estimates_lies_within_the_range(
    formula, dose, ratio, more, extraction, retention
):
    known = {"dose_g": dose, "water_g": ratio * dose, "added_g": more * dose}
    found = solve_between(formula, EXTRACTION, RETENTION, **known)
    inside = solve(formula, extraction, retention, **known)
    for name in ("beverage_g", "strength_pct", "brewed_strength_pct"):
        spread = found.ranges[name]
        assert spread.low <= getattr(inside, name) <= spread.high
        assert spread.value == getattr(found.amounts, name)


def test_what_is_given_has_no_range():
    found = solve_between(
        "immersion", EXTRACTION, RETENTION, dose_g=22.0, water_g=240.0, added_g=160.0
    )
    dose = found.ranges["dose_g"]
    assert (dose.low, dose.high) == (22, 22)
    strength = found.ranges["strength_pct"]
    assert strength.low < strength.value < strength.high


def test_ends_that_cannot_be_brewed_are_left_out():
    """A 3.8 % cup needs much extracted: the low end has no answer, the best one has."""
    extraction, known = Ranged(0.2, 0.02, 0.22), {"dose_g": 20.0, "strength_pct": 3.8}
    found = solve_between("immersion", extraction, RETENTION, water_g=100.0, **known)
    assert found.ranges["added_g"].low <= found.amounts.added_g <= found.ranges["added_g"].high
    with pytest.raises(ValueError, match="No brew fits"):
        solve_between(
            "immersion", EXTRACTION, RETENTION, dose_g=20.0, water_g=400.0, strength_pct=3.8
        )


def test_a_part_of_a_range_keeps_its_order():
    half = Ranged(100.0, 80.0, 130.0).times(0.5)
    assert (half.value, half.low, half.high) == (50, 40, 65)
