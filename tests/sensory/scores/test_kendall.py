"""Kendall's tau-b and the slopes it leaves, against scipy, a definition, and published sums."""

from itertools import permutations

import numpy as np
import pytest
from scipy.stats import kendalltau, norm, theilslopes
from statsmodels.tsa.arima_process import arma_generate_sample

from app.sensory.scores.kendall import Line, resemblance, slopes_within, variance, widening


def made_up(n, seed, tied=False):
    rng = np.random.default_rng(seed)
    x = np.sort(rng.uniform(0, 40, n))
    y = 0.05 * x + rng.normal(0, 1, n)
    return (np.round(x / 2), np.round(y * 2)) if tied else (x, y)


@pytest.mark.parametrize("n", [5, 6, 9, 22, 60, 200])
@pytest.mark.parametrize("tied", [False, True], ids=["plain", "ties"])
def test_tau_b_and_its_evidence_agree_with_scipy(n, tied):
    x, y = made_up(n, n, tied)
    tau, z = Line(x, y, 1.0).evidence()
    reference = kendalltau(x, y, method="asymptotic")
    assert tau == pytest.approx(reference.statistic)
    assert 2 * norm.sf(abs(z)) == pytest.approx(reference.pvalue)


def test_whole_scores_that_fall_by_one_halfway_are_far_from_chance():
    """scipy gives p = 7e-5 for eleven 7s, then eleven 6s."""
    x, y = np.arange(22.0), np.repeat([7.0, 6.0], 11)
    _, z = Line(x, y, 1.0).evidence()
    assert 2 * norm.sf(abs(z)) == pytest.approx(kendalltau(x, y).pvalue)
    assert kendalltau(x, y).pvalue == pytest.approx(7e-5, rel=0.1)


@pytest.mark.parametrize(
    ("x", "y"),
    [
        ([1, 2, 3, 4, 5, 6], [4, 5, 6, 7, 8, 9]),
        ([1, 1, 1, 2, 2, 3], [4, 5, 6, 7, 8, 9]),
        ([1, 1, 1, 2, 2, 3], [5, 5, 6, 6, 7, 8]),
        ([1, 1, 1, 2, 2, 3], [5, 5, 5, 6, 6, 7]),
        ([1, 1, 1, 1, 2, 2], [5, 5, 5, 5, 5, 6]),
    ],
)
def test_variance_is_that_of_all_orders_of_the_scores(x, y):
    """The definition: without an association every order of the scores is as likely."""
    xs = np.sign(np.subtract.outer(x, x))
    concordant = [
        np.sum(xs * np.sign(np.subtract.outer(order, order))) / 2 for order in permutations(y)
    ]
    assert variance(np.array(x), np.array(y)) == pytest.approx(np.var(concordant))


@pytest.mark.parametrize("n", [7, 22, 60])
def test_without_rounding_slope_and_range_are_those_of_theil_and_sen(n):
    """Sen 1968, J. Am. Stat. Assoc. 63:1379: the range inverts Kendall's S; by scipy."""
    x, y = made_up(n, n + 1)
    line, reference = Line(x, y, 1e-9), theilslopes(y, x)
    low, high = slopes_within(line, norm.isf(0.025), 1.0)
    step = np.median(np.abs(np.diff(np.sort(y)))) / 4
    assert line.slope() == pytest.approx(reference.slope, abs=step)
    # scipy rounds to the nearest of all slopes between pairs; ours ends where S crosses.
    slopes = np.sort([(y[j] - y[i]) / (x[j] - x[i]) for i in range(n) for j in range(i)])
    for ours, theirs in ((low, reference.low_slope), (high, reference.high_slope)):
        assert abs(np.searchsorted(slopes, ours) - np.searchsorted(slopes, theirs)) <= 2


def test_eight_values_and_their_slope():
    """Slope .98, range .9 to 1.0667: by hand, the median and the sixth from either end of the 28
    slopes between pairs (Sen 1968); ours ends where S crosses, at most a slope further in."""
    x, y = np.arange(8.0), np.array([1, 2.1, 2.9, 4.2, 5, 5.9, 7.3, 7.8])
    line = Line(x, y, 1e-9)
    slopes = np.sort([(y[j] - y[i]) / (x[j] - x[i]) for i in range(8) for j in range(i)])
    assert line.slope() == pytest.approx(0.98, abs=1e-3)
    low, high = slopes_within(line, norm.isf(0.025), 1.0)
    assert (slopes[5], slopes[-6]) == pytest.approx((0.9, 1.0667), abs=1e-4)
    assert (low, high) == pytest.approx((slopes[6], slopes[-7]), abs=1e-3)


def test_ties_do_not_pull_the_slope_of_whole_scores_to_0():
    """The slope of Theil and Sen is pulled: of −.05 a day it makes −.025."""
    rng, x, ours = np.random.default_rng(8), np.arange(22.0), []
    for _ in range(300):
        y = np.round(6.3 - 0.05 * x + rng.normal(0, 0.8, 22))
        ours.append(Line(x, y, 1.0).slope())
    assert np.mean(ours) == pytest.approx(-0.05, abs=0.006)


def test_the_range_leaves_out_0_only_where_the_evidence_is_beyond_the_bound():
    rng, x = np.random.default_rng(9), np.arange(12.0)
    for _ in range(150):
        line = Line(x, np.round(rng.normal(6, 0.8, 12) + rng.choice([-0.15, 0, 0.15]) * x), 1.0)
        low, high = slopes_within(line, 2.0, 1.3)
        beyond = abs(line.evidence()[1]) > 2.0 * 1.3**0.5
        assert (low < 0 < high) or beyond
        assert not (beyond and low < 0 and high > 0)


def test_too_few_points_end_no_range():
    x = np.arange(4.0)
    assert slopes_within(Line(x, np.array([5.0, 6, 7, 8]), 1.0), 3.0, 1.0) == (None, None)


def test_equal_scores_leave_the_slopes_that_rounding_hides():
    low, high = slopes_within(Line(np.arange(10.0), np.full(10, 6.0), 1.0), 1.96, 1.0)
    assert low == pytest.approx(-high, abs=1e-3)
    assert 0.03 < high < 0.15  # nine days at .1 a day: a point in all, which rounding can hide


@pytest.mark.parametrize("correlation", [0.0, 0.3, 0.6])
def test_resemblance_is_found_again_on_average(correlation):
    rng = np.random.default_rng(10)
    found = []
    for _ in range(400):
        values = arma_generate_sample([1, -correlation], [1], 60, distrvs=rng.standard_normal)
        found.append(resemblance(values, 0.0))
    if correlation:
        assert np.mean(found) == pytest.approx(correlation, abs=0.04)
    else:
        assert np.median(found) < 0.05


def test_what_a_line_leaves_of_rounded_scores_is_no_resemblance():
    """7, 7, ... 6, 6, ... less a straight line is a saw within the rounding."""
    x, y = np.arange(22.0), np.repeat([7.0, 6.0], 11)
    left = y - Line(x, y, 1.0).slope() * x
    assert resemblance(left, 0.0) > 0.7
    assert resemblance(left, 1.0) < 0.4
    assert resemblance(np.zeros(3), 1.0) == 0.0


def test_widening_is_the_published_factor():
    """Hamed & Rao 1998, eq. 9, summed by hand for n 5 and a correlation of .5."""
    by_hand = 1 + 2 / (5 * 4 * 3) * (4 * 3 * 2 * 0.5 + 3 * 2 * 1 * 0.25)
    assert widening(5, 0.5) == pytest.approx(by_hand)
    assert widening(200, 0.3) == pytest.approx(1.3 / 0.7, rel=0.03)  # of a long AR(1)
