"""Learning moves towards the user's brews, by no more than they are worth."""

from math import log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from app.brewing.strength.calibration import (
    Calibration,
    learn,
    learn_retained,
    retention_from_weighed,
)

ratio_lists = st.lists(st.floats(0.5, 2), min_size=1, max_size=40)


def test_no_brews_leave_the_estimate_alone():
    cal = learn([])
    assert (cal.factor, cal.n) == (1, 0)
    assert cal.sd >= 0.06


@given(ratio_lists)
def test_the_factor_lies_between_one_and_the_mean_of_the_brews(ratios):
    cal = learn(ratios)
    mean = sum(map(log, ratios)) / len(ratios)
    assert min(0, mean) - 1e-12 <= log(cal.factor) <= max(0, mean) + 1e-12
    assert cal.n == len(ratios)
    assert cal.sd >= 0.03


def test_two_brews_agree_with_the_textbook_normal_posterior():
    """Posterior of a normal mean on a fine lattice, spread held at the value the model states."""
    ratios, prior_sd = [0.90, 0.94], 0.06
    logs = [log(ratio) for ratio in ratios]
    mean = sum(logs) / 2
    spread = ((2 * 0.05**2 + sum((x - mean) ** 2 for x in logs)) / 3) ** 0.5
    lattice = np.linspace(-0.4, 0.4, 80001)
    weights = stats.norm.pdf(lattice, 0, prior_sd)
    for value in logs:
        weights = weights * stats.norm.pdf(value, lattice, spread)
    best = float((weights * lattice).sum() / weights.sum())
    variance = float((weights * (lattice - best) ** 2).sum() / weights.sum())
    cal = learn(ratios, prior_sd)
    assert log(cal.factor) == pytest.approx(best, abs=1e-7)
    assert cal.sd == pytest.approx((variance + spread**2) ** 0.5, rel=1e-6)


def test_twenty_brews_settle_the_matter():
    cal = learn([0.88] * 20)
    assert cal.factor == pytest.approx(0.88, abs=0.005)
    assert cal.sd == pytest.approx(0.03, abs=0.003)


def test_one_odd_brew_moves_less_than_its_own_error():
    assert 0.8 < learn([0.7]).factor < 1


@pytest.mark.parametrize("odd", [0, -1, float("nan"), float("inf")])
def test_a_ratio_that_is_no_measurement_is_refused(odd):
    with pytest.raises(ValueError, match="number above zero"):
        learn([1.0, odd])


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


@given(st.floats(1, 100), st.floats(3, 30), st.floats(0.1, 0.3), st.floats(0.5, 2.9))
def test_a_weighed_beverage_gives_back_what_the_grounds_held(dose_g, ratio, extraction, retention):
    beverage_g = ratio * dose_g + (extraction - retention) * dose_g
    found = retention_from_weighed(dose_g, ratio * dose_g, beverage_g, extraction)
    assert found == pytest.approx(retention, abs=1e-9)


def test_a_calibration_is_a_plain_value():
    assert Calibration(1.0, 0.06, 0) == Calibration(factor=1.0, sd=0.06, n=0)
