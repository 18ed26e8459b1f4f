import json
from itertools import permutations
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import theilslopes
from statsmodels.nonparametric.smoothers_lowess import lowess as reference_lowess

from app.sensory.scores.trend import kendall_variance, lag1_correlation, lowess, theil_sen, trend

CASES = json.loads((Path(__file__).parent / "cases" / "trend.json").read_text())
RISING = [5, 5.5, 5.2, 6, 6.4, 6.1, 7, 7.2, 7.5, 7.4, 8, 8.1]


def made_up(n, seed, tied=False):
    rng = np.random.default_rng(seed)
    x = np.sort(rng.uniform(0, 40, n))
    y = 0.05 * x + rng.normal(0, 1, n)
    return (np.round(x / 2), np.round(y * 2)) if tied else (x, y)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_worked_cases(case):
    found = trend(**case["inputs"], what="liking", per="day")
    for name, value in case["expected"].items():
        assert getattr(found, name) == pytest.approx(value, abs=case["tolerance"])


@pytest.mark.parametrize("n", [5, 6, 9, 22, 60, 200])
@pytest.mark.parametrize("tied", [False, True], ids=["plain", "ties"])
def test_slope_and_range_agree_with_scipy(n, tied):
    x, y = made_up(n, n, tied)
    if tied:
        y = y + np.arange(n) * 1e-7  # ties in x only: there scipy's variance is complete
    slope, low, high = theil_sen(x, y)
    reference = theilslopes(y, x)
    assert (slope, low, high) == pytest.approx(
        (reference.slope, reference.low_slope, reference.high_slope)
    )


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
    assert kendall_variance(np.array(x), np.array(y)) == pytest.approx(np.var(concordant))


@pytest.mark.parametrize("n", [7, 22, 60, 200, 400])
@pytest.mark.parametrize("tied", [False, True], ids=["plain", "ties"])
def test_guide_agrees_with_statsmodels(n, tied):
    x, y = made_up(n, n + 1, tied)
    reference = reference_lowess(y, x, frac=2 / 3, it=3, delta=0, return_sorted=False)
    assert lowess(x, y) == pytest.approx(reference, abs=1e-9)


def test_guide_on_a_line_with_one_wild_point_stays_near_the_line():
    x = np.arange(12.0)
    y = 2 * x
    y[6] = 40
    assert np.delete(lowess(x, y), 6) == pytest.approx(np.delete(2 * x, 6), abs=3)


@pytest.mark.parametrize("n", [6, 12, 30])
def test_range_covers_no_trend_19_times_in_20_even_with_whole_scores(n):
    rng = np.random.default_rng(7)
    x = np.sort(np.round(rng.uniform(3, 20, n)))
    tries = 1500
    hits = 0
    for _ in range(tries):
        _, low, high = theil_sen(x, np.clip(np.round(rng.normal(6, 1.2, n)), 1, 9))
        hits += low <= 0 <= high
    assert hits / tries > 0.95 - 3 * np.sqrt(0.05 * 0.95 / tries)


def test_order_of_points_does_not_matter():
    x, y = made_up(22, 3)
    shuffled = np.random.default_rng(5).permutation(22)
    assert trend(x[shuffled], y[shuffled], what="liking", per="day") == trend(
        x, y, what="liking", per="day"
    )


def test_rising_scores_say_so_and_claim_no_cause():
    found = trend(range(12), RISING, what="liking", per="day")
    assert found.sentence == (
        "In these 12 cups liking rose by about 0.29 per day (95 % range 0.25 to 0.33). "
        "This is a pattern in a journal, not an experiment."
    )
    assert found.low > 0


def test_falling_scores_say_so():
    found = trend(range(12), RISING[::-1], what="liking", per="day")
    assert found.sentence == (
        "In these 12 cups liking fell, a change of about −0.29 per day "
        "(95 % range −0.33 to −0.25). This is a pattern in a journal, not an experiment."
    )


def test_a_range_over_zero_has_no_direction():
    found = trend(range(6), [6, 5, 7, 6, 5, 7], what="liking", per="use")
    assert found.low <= 0 <= found.high
    assert found.sentence.startswith("In these 6 cups liking shows no clear direction: about ")
    assert found.cautions[0] == "Only 6 cups: one more could turn the line."


def test_scores_that_drift_together_get_a_caution():
    y = 6 + np.sin(np.arange(40) / 4)
    found = trend(range(40), y, what="liking", per="day")
    assert found.lag1 > 0.3
    assert any("resemble each other" in caution for caution in found.cautions)


def test_independent_scores_get_none():
    x, y = made_up(60, 11)
    found = trend(x, y, what="liking", per="day")
    assert abs(found.lag1) <= 0.3
    assert found.cautions == ()


def test_lag1_by_hand():
    assert lag1_correlation(np.array([1.0, -1.0, 1.0, -1.0])) == pytest.approx(-0.75)
    assert lag1_correlation(np.zeros(5)) is None


def test_guide_has_one_point_an_x_in_order():
    x, y = made_up(60, 4, tied=True)
    guide = trend(x, y, what="liking", per="day").guide
    assert [point[0] for point in guide] == sorted(set(x.tolist()))


@pytest.mark.parametrize("x", [[], [1, 2, 3, 4], [3, 3, 3, 3, 3, 3]])
def test_too_little_to_draw_a_line(x):
    assert trend(x, [6.0] * len(x), what="liking", per="day") is None


@pytest.mark.parametrize(
    ("x", "y"),
    [([1, 2], [1]), ([1, 2, 3, 4, float("nan")], [1] * 5), ([1] * 5, [float("inf")] * 5)],
)
def test_broken_points_are_refused(x, y):
    with pytest.raises(ValueError, match="need"):
        trend(x, y, what="liking", per="day")
