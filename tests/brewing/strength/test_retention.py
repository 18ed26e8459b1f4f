"""What the grounds hold, learned from the scale alone."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing.strength.retention import (
    Retained,
    expected_retention,
    learn_retained,
    retention_from_weighed,
)


def test_retention_starts_at_the_usual_value_and_follows_the_scale():
    assert learn_retained([], "pressed immersion").value == 2.0
    assert learn_retained([], "immersion").value == 2.48
    learned = learn_retained([1.4, 1.5, 1.45, 1.5, 1.42, 1.48], "pressed immersion")
    assert 1.4 < learned.value < 1.6
    assert learned.n == 6
    assert learned.sd < 0.25


def test_retention_of_an_unknown_kind_or_value_is_refused():
    with pytest.raises(ValueError, match="No usual retention"):
        learn_retained([1.5], "other")
    with pytest.raises(ValueError, match="must be a number"):
        learn_retained([float("nan")], "cone")
    with pytest.raises(ValueError, match="no model"):
        expected_retention("other")
    with pytest.raises(ValueError, match="Dose must be more"):
        retention_from_weighed(0, 230, 205)


@given(st.floats(1, 100), st.floats(3, 30), st.floats(0.1, 0.3), st.floats(0.5, 2.9))
def test_a_weighed_beverage_gives_back_what_the_grounds_held(dose_g, ratio, extraction, retention):
    beverage_g = ratio * dose_g + (extraction - retention) * dose_g
    found = retention_from_weighed(dose_g, ratio * dose_g, beverage_g, extraction)
    assert found == pytest.approx(retention, abs=1e-9)
    usual = retention_from_weighed(dose_g, ratio * dose_g, beverage_g)
    assert abs(usual - retention) <= 0.1 + 1e-9  # though nothing was measured but weights


def test_one_slip_of_the_scale_moves_nothing():
    held = [1.70, 1.75, 1.66, 1.72, 1.69, 1.74]
    plain, slipped = learn_retained(held, "cone"), learn_retained([*held, 5.1], "cone")
    assert slipped.n == plain.n == 6
    assert slipped.value == pytest.approx(plain.value, abs=0.01)


def test_the_range_knows_how_few_brews_are_behind_it():
    few, many = (expected_retention("cone", Retained(1.7, 0.1, n)) for n in (1, 60))
    assert few.high - few.value == pytest.approx(0.231, abs=0.001)  # t of 8 freedoms, tables
    assert many.high - many.value == pytest.approx(0.1996, abs=0.001)  # of 67
    assert expected_retention("cone", Retained(1.7, 0.1, 0)) == expected_retention("cone")
