import json
from fractions import Fraction
from math import exp
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import binom

from app.sensory.blind.evalue import (
    evidence,
    evidence_close,
    interval,
    log_evidence,
    log_evidence_close,
    trials_to_go,
)


def load(name):
    return json.loads((Path(__file__).parent / "cases" / f"{name}.json").read_text())


@pytest.mark.parametrize("case", load("evidence"), ids=lambda case: case["name"])
def test_worked_evidence(case):
    guess = float(Fraction(case["inputs"]["guess"]))
    for record, expected in case["expected"].items():
        correct, n = map(int, record.split("/"))
        assert evidence(correct, n, guess) == pytest.approx(expected, rel=case["tolerance"])


@pytest.mark.parametrize(("correct", "n"), [(0, 5), (3, 9), (12, 20), (15, 30), (30, 30)])
@pytest.mark.parametrize("bound", [1 / 3, 0.5, 0.6])
def test_evidence_agrees_with_the_integral(correct, n, bound):
    def gain(p):
        return (p / bound) ** correct * ((1 - p) / (1 - bound)) ** (n - correct)

    above = quad(gain, bound, 1)[0] / (1 - bound)
    below = quad(gain, 0, bound)[0] / bound
    assert exp(log_evidence(correct, n, bound)) == pytest.approx(above, rel=1e-7)
    assert exp(log_evidence_close(correct, n, bound)) == pytest.approx(below, rel=1e-7)


@pytest.mark.parametrize("n", [1, 7, 30])
@pytest.mark.parametrize("bound", [1 / 3, 0.5, 0.6])
def test_evidence_is_a_fair_bet(n, bound):
    counts = np.arange(n + 1)
    weights = binom.pmf(counts, n, bound)
    assert weights @ np.exp(log_evidence(counts, n, bound)) == pytest.approx(1)
    assert weights @ np.exp(log_evidence_close(counts, n, bound)) == pytest.approx(1)


def test_rates_well_inside_the_null_make_the_bet_lose():
    counts = np.arange(31)
    assert binom.pmf(counts, 30, 0.2) @ np.exp(log_evidence(counts, 30, 1 / 3)) < 1
    assert binom.pmf(counts, 30, 0.8) @ np.exp(log_evidence_close(counts, 30, 0.6)) < 1


def test_long_lopsided_records_stay_finite_or_vanish():
    assert evidence(2000, 2000, 1 / 3) == pytest.approx(1e9)
    assert evidence(0, 2000, 1 / 3) == 0
    assert evidence_close(2000, 2000, 0.6) == 0
    assert exp(float(log_evidence(667, 2000, 1 / 3))) < 1


@pytest.mark.parametrize("case", load("intervals"), ids=lambda case: case["name"])
def test_worked_intervals(case):
    assert interval(**case["inputs"]) == pytest.approx(case["expected"], abs=case["tolerance"])


@pytest.mark.parametrize(("correct", "n"), [(1, 1), (0, 9), (7, 19), (400, 1000)])
def test_interval_is_the_set_it_claims_to_be(correct, n):
    p = np.linspace(1e-6, 1 - 1e-6, 200_001)
    inside = p[(n + 1) * binom.pmf(correct, n, p) > 0.05]
    assert interval(correct, n) == pytest.approx((inside[0], inside[-1]), abs=1e-5)


def test_before_the_first_trial_every_rate_is_possible():
    assert interval(0, 0) == (0, 1)


@pytest.mark.parametrize("p", [1 / 3, 0.5, 0.8])
def test_interval_misses_the_truth_at_any_look_in_at_most_5_of_100_tests(p):
    most = 400
    open_at, missed = np.array([1.0]), 0.0
    for n in range(1, most + 1):
        grown = np.zeros(n + 1)
        grown[:-1] = open_at * (1 - p)
        grown[1:] += open_at * p
        outside = (n + 1) * binom.pmf(np.arange(n + 1), n, p) <= 0.05
        missed += grown[outside].sum()
        open_at = np.where(outside, 0, grown)
    assert 0.01 < missed <= 0.05


def test_trials_to_go():
    assert trials_to_go(0, 0, 1 / 3) is None
    assert trials_to_go(3, 3, 1 / 3) == 1
    assert trials_to_go(4, 4, 1 / 3) == 0
    assert trials_to_go(1, 10, 1 / 3) is None
    more = trials_to_go(12, 20, 1 / 3)
    assert evidence(round(12 * (20 + more) / 20), 20 + more, 1 / 3) == pytest.approx(20, rel=0.5)
