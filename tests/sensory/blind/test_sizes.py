"""How large a difference is, against the R package sensR's own tests and worked examples."""

from math import inf

import pytest
from scipy.stats import binom

from app.sensory.blind.discrimination import similar_count
from app.sensory.blind.sizes import (
    d_prime_other_way,
    d_prime_with_error,
    likelihood_interval,
    size_range,
    slope_at,
)


@pytest.mark.parametrize(
    ("method", "slope"),  # at d' 1, the R package sensR
    [("triangle", 0.155989), ("paired", 0.219696), ("three-cup", 0.289319), ("tetrad", 0.278494)],
)
def test_slopes_at_a_distance_of_one(method, slope):
    assert slope_at(method, 1.0) == pytest.approx(slope, abs=2e-6)


def test_standard_error_is_that_of_the_share_over_the_slope():
    d_prime, error = d_prime_with_error("triangle", 9, 18)
    assert d_prime == pytest.approx(1.4663, abs=1e-4)
    assert error == pytest.approx((0.25 / 18) ** 0.5 / slope_at("triangle", d_prime))
    assert d_prime_with_error("triangle", 6, 18) is None  # at guessing there is none
    assert d_prime_with_error("triangle", 18, 18) is None


def test_likelihood_interval_of_10_of_15_as_in_sensr():
    low, high = likelihood_interval(10, 15, 1 / 3)  # the R package sensR: .415454 to .865219
    assert low == pytest.approx(0.415454, abs=1e-5)
    assert high == pytest.approx(0.865219, abs=1e-5)


@pytest.mark.parametrize("correct", [0, 3, 5, 15])
def test_likelihood_interval_at_its_ends(correct):
    low, high = likelihood_interval(correct, 15, 1 / 3)
    assert 1 / 3 <= low <= max(correct / 15, 1 / 3) <= high <= 1
    assert (high == 1) == (correct == 15)


def test_sizes_of_a_directed_method_hold_whichever_way_round():
    up, down = size_range("paired", 0.7, 0.9), size_range("paired", 0.1, 0.3)
    assert up == pytest.approx(down)
    assert up.p_d_low == pytest.approx(0.4)
    around = size_range("paired", 0.2, 0.6)
    assert (around.p_d_low, around.d_low) == (0, 0)
    assert around.p_d_high == pytest.approx(0.6)  # as (.5 - .2) / .5
    one_way = size_range("triangle", 0.1, 0.3)
    assert one_way == (0, 0, 0, 0)


def test_distance_the_other_way_round():
    assert d_prime_other_way("paired", 0.2397501) == pytest.approx(1, abs=1e-6)  # 1 - .7602499
    assert d_prime_other_way("paired", 0.5) == 0
    assert d_prime_other_way("three-cup", 0.0) == inf
    assert 0 < d_prime_other_way("three-cup", 0.2) < d_prime_other_way("three-cup", 0.1)


@pytest.mark.parametrize(
    ("beta", "counts"),  # triangle, n 30, p_d .1 .2 .3 .4 .5; exact binomial, science.md section 6
    [(0.05, [7, 9, 11, 13, 15]), (0.10, [8, 10, 11, 14, 16]), (0.20, [9, 11, 13, 15, 17])],
)
def test_greatest_counts_that_are_close_enough(beta, counts):
    for p_d, count in zip((0.1, 0.2, 0.3, 0.4, 0.5), counts, strict=True):
        p1 = 1 / 3 + p_d * 2 / 3
        assert similar_count(30, p1, beta) == count
        assert binom.cdf(count, 30, p1) <= beta < binom.cdf(count + 1, 30, p1)
    assert similar_count(2, 0.9, 0.001) == -1
