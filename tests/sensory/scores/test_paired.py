import json
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import binom, ttest_1samp

from app.sensory.scores.paired import believe, paired, sign_flip_share

CASES = json.loads((Path(__file__).parent / "cases" / "paired.json").read_text())


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_worked_cases(case):
    differences, expected = case["inputs"]["differences"], case["expected"]
    assert sign_flip_share(differences) * 2 ** len(differences) == expected["patterns"]
    test = paired(differences).test
    assert test.p == 2 * expected["patterns"] / 2 ** len(differences)
    assert test.t == pytest.approx(expected["t"], abs=case["tolerance"])


@pytest.mark.parametrize("seed", range(20))
def test_sign_flip_agrees_with_trying_every_pattern(seed):
    rng = np.random.default_rng(seed)
    differences = np.round(rng.normal(0.5, 1.5, 9) * 2) / 2
    sums = [abs(differences) @ np.array(signs) for signs in product((-1, 1), repeat=9)]
    reached = sum(s >= abs(differences.sum()) for s in sums)
    assert sign_flip_share(differences.tolist()) == reached / 2**9


def test_sign_flip_stays_exact_for_a_year_of_pairs():
    differences = [1] * 220 + [-1] * 180
    assert sign_flip_share(differences) == pytest.approx(binom.sf(219, 400, 0.5), rel=1e-9)


@pytest.mark.parametrize("seed", range(5))
def test_t_and_its_range_agree_with_scipy(seed):
    differences = np.random.default_rng(seed).normal(0.3, 1, 12).tolist()
    reference = ttest_1samp(differences, 0)
    test = paired(differences).test
    assert test.t == pytest.approx(reference.statistic)
    assert (test.low, test.high) == pytest.approx(tuple(reference.confidence_interval()))


def test_belief_agrees_with_summing_the_posterior_on_a_grid():
    differences, scale = np.array([1.0, 2.0, -0.5, 1.5]), 1.5
    mean, log_variance = np.meshgrid(np.linspace(-12, 12, 2401), np.linspace(-6, 9, 1501))
    variance = np.exp(log_variance)
    # inverse gamma(1, scale^2) on the variance, in its logarithm; mean ~ N(0, variance)
    log_p = -1 * log_variance - scale**2 / variance - (log_variance + mean**2 / variance) / 2
    for d in differences:
        log_p -= (log_variance + (d - mean) ** 2 / variance) / 2
    weight = np.exp(log_p - log_p.max()).sum(axis=0)
    cumulative = np.cumsum(weight) / weight.sum()
    grid = mean[0]
    belief = believe(differences.tolist(), scale)
    assert belief.mean == pytest.approx(float(grid @ weight / weight.sum()), abs=0.01)
    assert belief.low == pytest.approx(float(grid[np.searchsorted(cumulative, 0.025)]), abs=0.03)
    assert belief.high == pytest.approx(float(grid[np.searchsorted(cumulative, 0.975)]), abs=0.03)
    assert belief.above_zero == pytest.approx(
        float(weight[grid > 0].sum() / weight.sum()), abs=0.01
    )


@pytest.mark.parametrize("n", [0, 1, 2])
def test_fewer_than_three_pairs_say_nothing(n):
    assert paired([1.0] * n) is None


@pytest.mark.parametrize("n", [3, 4, 5])
def test_three_to_five_pairs_get_no_test(n):
    found = paired([1.0] * n)
    assert found.test is None
    assert found.belief.low < found.belief.mean < found.belief.high
    assert found.belief.above_zero < 0.99
    assert "Too few pairs for a test" in found.sentence


def test_equal_differences_have_no_t_but_an_exact_p():
    test = paired([1.0] * 6).test
    assert (test.p, test.t, test.low, test.high) == (2 / 64, None, None, None)


def test_no_difference_at_all_is_no_evidence():
    found = paired([0.0] * 8)
    assert found.test.p == 1
    assert found.belief.above_zero == pytest.approx(0.5)


def test_sentences():
    assert paired([2, 1, 2, 1, 3, 2, 1, 2]).sentence == (
        "Over 8 pairs A scored 1.8 more than B on average in liking, more than chance usually "
        "gives (p = 0.008). The p holds if the number of pairs was fixed beforehand."
    )
    assert paired([-1, 1, -1, 0, -1, 1]).sentence == (
        "Over 6 pairs A scored 0.17 less than B on average in liking, which chance can give "
        "(p = 1.000); that does not make them the same. "
        "The p holds if the number of pairs was fixed beforehand."
    )
    assert paired([1, 0, -1]).sentence == (
        "Over 3 pairs A and B scored the same on average in liking. Too few pairs for a test; "
        "a cautious bet gives A 50 chances in 100 of truly scoring higher."
    )
