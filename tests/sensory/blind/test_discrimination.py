import json
from fractions import Fraction
from math import comb, inf, sqrt
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import binom, ncf, norm
from statsmodels.stats.proportion import binom_test, binom_test_reject_interval, proportion_confint

from app.sensory.blind.discrimination import (
    chance_band,
    clopper_pearson,
    correct_at,
    correct_share,
    critical_count,
    d_prime_at,
    d_prime_range,
    p_value,
    perceived_share,
    power,
    trials_needed,
)
from app.sensory.blind.methods import METHOD_FACTS


def load(name):
    return json.loads((Path(__file__).parent / "cases" / f"{name}.json").read_text())


(PSYCHOMETRIC,) = load("psychometric")


@pytest.mark.parametrize("method", PSYCHOMETRIC["expected"])
def test_share_right_agrees_with_published_values(method):
    for d, expected in zip(
        PSYCHOMETRIC["inputs"]["d_prime"], PSYCHOMETRIC["expected"][method], strict=True
    ):
        assert correct_at(method, d) == pytest.approx(expected, abs=PSYCHOMETRIC["tolerance"])


@pytest.mark.parametrize("method", METHOD_FACTS)
def test_no_difference_leaves_guessing(method):
    assert correct_at(method, 0) == pytest.approx(float(METHOD_FACTS[method].guess), abs=1e-15)


def right_by_rule(method, cups_a, cups_b, distance):
    """Whether a taster who follows the method's rule is right, for rows of noisy percepts."""
    match method:
        case "triangle":  # the two closest cups are taken for the pair
            alike = abs(cups_a[0] - cups_a[1])
            return (alike < abs(cups_a[0] - cups_b[0])) & (alike < abs(cups_a[1] - cups_b[0]))
        case "tetrad":  # the two weakest are one group, the two strongest the other
            low_a, high_a = np.sort(cups_a[:2], axis=0)
            low_b, high_b = np.sort(cups_b[:2], axis=0)
            return (high_a < low_b) | (high_b < low_a)
        case "three-cup":
            return (cups_b[0] > cups_a[0]) & (cups_b[0] > cups_a[1])
        case "duo-trio":
            return abs(cups_a[0] - cups_a[1]) < abs(cups_a[0] - cups_b[0])
        case "paired":
            return cups_b[0] > cups_a[0]
        case "A-not-A":  # every other cup is A; half way is where neither word is the likelier
            half = distance / 2
            return np.where(np.arange(len(cups_a[0])) % 2, cups_a[0] < half, cups_b[0] >= half)
        case (
            "same-different"
        ):  # the pair's distance against the best of many lines, every pair once
            apart, same = abs(cups_a[0] - cups_b[0]), abs(cups_a[0] - cups_a[1])
            line = max(
                np.linspace(0.2, 4, 77), key=lambda t: (same < t).mean() - (apart < t).mean()
            )
            return np.where(np.arange(len(apart)) % 2, same < line, apart >= line)


@pytest.mark.parametrize("d", [0.0, 0.5, 1.0, 2.0, 3.0])
@pytest.mark.parametrize("method", METHOD_FACTS)
def test_share_right_agrees_with_simulated_tasters(method, d):
    rng = np.random.default_rng(20240501)
    tries = 200_000
    cups_a, cups_b = rng.normal(0, 1, (2, tries)), rng.normal(d, 1, (2, tries))
    share = right_by_rule(method, cups_a, cups_b, d).mean()
    p = correct_at(method, d)
    assert share == pytest.approx(p, abs=4 * sqrt(p * (1 - p) / tries))


@pytest.mark.parametrize("d", [0.1, 0.7, 1.5, 4.0])
def test_share_right_agrees_with_other_formulas(d):
    assert correct_at("triangle", d) == pytest.approx(ncf.sf(3, 1, 1, 2 * d**2 / 3), abs=1e-9)
    three = quad(lambda x: norm.pdf(x - d) * norm.cdf(x) ** 2, -9, 9 + d)[0]
    assert correct_at("three-cup", d) == pytest.approx(three, abs=1e-9)
    below = quad(lambda x: 2 * norm.pdf(x) * norm.cdf(x) * norm.sf(x - d) ** 2, -9, 9 + d)[0]
    above = quad(lambda x: 2 * norm.pdf(x) * norm.sf(x) * norm.cdf(x - d) ** 2, -9, 9 + d)[0]
    assert correct_at("tetrad", d) == pytest.approx(below + above, abs=1e-9)


@pytest.mark.parametrize("d", [0.05, 0.5, 1.0, 2.5, 6.0])
@pytest.mark.parametrize("method", METHOD_FACTS)
def test_there_and_back(method, d):
    assert d_prime_at(method, correct_at(method, d)) == pytest.approx(d, rel=1e-5)


@pytest.mark.parametrize("method", METHOD_FACTS)
def test_ends_of_the_scale(method):
    guess = float(METHOD_FACTS[method].guess)
    assert d_prime_at(method, guess) == 0
    assert d_prime_at(method, guess / 2) == 0
    assert d_prime_at(method, 1.0) == inf
    with pytest.raises(ValueError, match="below 0"):
        correct_at(method, -1)


def test_who_knows_what_to_look_for_gets_a_smaller_d_prime():
    low, high = d_prime_range("triangle", 0.6, 0.7)
    assert low == d_prime_at("three-cup", 0.6) < d_prime_at("triangle", 0.6)
    assert high == d_prime_at("triangle", 0.7)


def test_perceived_share_and_back():
    assert perceived_share(0.6, 1 / 3) == pytest.approx(0.4)
    assert correct_share(0.4, 1 / 3) == pytest.approx(0.6)
    assert perceived_share(0.2, 1 / 3) == 0


@pytest.mark.parametrize("case", load("critical_counts"), ids=lambda case: case["name"])
def test_published_critical_counts(case):
    guess = float(Fraction(case["inputs"]["guess"]))
    for n, row in case["expected"].items():
        assert [critical_count(int(n), guess, a) for a in case["inputs"]["alphas"]] == row


@pytest.mark.parametrize("guess", [Fraction(1, 3), Fraction(1, 2)], ids=str)
@pytest.mark.parametrize("alpha", ["0.3", "0.2", "0.1", "0.05", "0.01", "0.001"])
def test_critical_counts_agree_with_sums_of_fractions(guess, alpha):
    for n in range(1, 101):
        tail, least = Fraction(0), None
        for count in range(n, -1, -1):
            tail += comb(n, count) * guess**count * (1 - guess) ** (n - count)
            if tail > Fraction(alpha):
                break
            least = count
        assert critical_count(n, float(guess), float(alpha)) == least


@pytest.mark.parametrize("n", [6, 12, 23, 60, 200])
@pytest.mark.parametrize("guess", [1 / 3, 0.5])
def test_p_power_and_range_agree_with_statsmodels(n, guess):
    _, first_rejected = binom_test_reject_interval(guess, n, alpha=0.05, alternative="larger")
    assert critical_count(n, guess, 0.05) == first_rejected
    assert power(n, guess, 0.7, 0.05) == pytest.approx(
        binom_test(first_rejected, n, 0.7, alternative="larger")
    )
    for count in (0, 1, n // 3, n - 1, n):
        p = binom_test(count, n, guess, alternative="larger")
        assert p_value(count, n, guess) == pytest.approx(p)
        reference = proportion_confint(count, n, alpha=0.05, method="beta")
        assert clopper_pearson(count, n) == pytest.approx(reference)


@pytest.mark.parametrize("case", load("trials_needed"), ids=lambda case: case["name"])
def test_published_numbers_of_trials(case):
    asked = case["inputs"]
    p_c = correct_share(asked["p_d"], 1 / 3)
    assert trials_needed(1 / 3, p_c, asked["alpha"], asked["beta"]) == case["expected"]


def test_a_difference_too_small_to_be_found_says_so():
    assert trials_needed(1 / 3, 0.34, 0.05, 0.2, most=100) is None
    assert critical_count(2, 1 / 3, 0.05) is None
    assert power(2, 1 / 3, 0.9, 0.05) == 0


def test_questions_name_the_attribute():
    assert METHOD_FACTS["paired"].ask("bitterness") == "Which cup has more bitterness?"
    assert METHOD_FACTS["triangle"].ask() == "Two cups are the same. Which is the odd one?"


@pytest.mark.parametrize("guess", [1 / 3, 0.5])
def test_the_funnel_of_chance_is_the_central_95_percent(guess):
    for n in range(1, 80):
        low, high = chance_band(n, guess)
        assert (low, high) == tuple(binom.interval(0.95, n, guess))
