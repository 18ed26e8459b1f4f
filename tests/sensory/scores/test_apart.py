"""Groups of cups held apart by their days, against scipy, Fisher's example and by hand."""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import ttest_ind

from app.sensory.scores.apart import (
    LEAST_DAYS,
    Days,
    Scored,
    apart,
    by_day,
    enough,
    resemblance,
    spread,
    welch_error,
)

MAIZE = json.loads((Path(__file__).parent / "cases" / "paired.json").read_text())[0]


def separate(a, b):
    """Days of A first, then days of B."""
    return Days(dict(enumerate(a)), {len(a) + n: score for n, score in enumerate(b)})


def turns(a, b):
    """A day of A, a day of B, and so on."""
    return Days(
        {2 * n: score for n, score in enumerate(a)}, {2 * n + 1: s for n, s in enumerate(b)}
    )


def test_days_with_both_are_fishers_maize():
    """Fisher 1935, The Design of Experiments, section 21: t 2.148, 863 of 32768 (from memory)."""
    eighths = MAIZE["inputs"]["differences"]
    found = apart(Days({n: float(d) for n, d in enumerate(eighths)}, dict.fromkeys(range(15), 0.0)))
    assert (found.by, found.n_a, found.difference) == ("pairs", 15, pytest.approx(314 / 15))
    assert found.p == 2 * 863 / 32768
    half = (found.high - found.low) / 2
    assert found.difference / half == pytest.approx(2.148 / 2.144787, abs=2e-4)  # t 97.5 %, 14 df


@pytest.mark.parametrize("seed", range(6))
def test_separate_days_agree_with_welchs_test_of_scipy(seed):
    rng = np.random.default_rng(seed)
    a, b = rng.normal(6, 1.2, 9).tolist(), rng.normal(5.5, 0.7, 14).tolist()
    reference = ttest_ind(a, b, equal_var=False)
    found = apart(turns(a, b))
    error, df = welch_error(a, b)
    assert found.difference / error == pytest.approx(reference.statistic)
    assert df == pytest.approx(reference.df)
    if found.alike == 0:
        interval = reference.confidence_interval()
        assert (found.low, found.high) == pytest.approx((interval.low, interval.high))


def test_cups_of_one_day_count_once():
    once = [Scored(day, day % 2 == 0, 5 + day % 3) for day in range(16)]
    assert apart(by_day(once)) == apart(by_day(once * 4))


def test_a_day_is_the_mean_of_its_cups():
    found = by_day(
        [Scored(3, True, 5), Scored(3, True, 8), Scored(3, False, 4), Scored(2, False, 1)]
    )
    assert (found.a, found.b, found.both) == ({3: 6.5}, {2: 1, 3: 4}, [3])


def test_from_six_days_with_both_only_they_are_compared():
    scores = [Scored(day, True, 7) for day in range(20)] + [
        Scored(day, False, 6 - day % 2) for day in range(14, 34)
    ]
    found = apart(by_day(scores))
    assert (found.by, found.n_a, found.n_b) == ("pairs", 6, 6)
    fewer = apart(by_day([one for one in scores if one.in_a or one.day != 14]))
    assert (fewer.by, fewer.n_a, fewer.n_b) == ("days", 20, 19)


def test_too_few_days_have_a_difference_but_no_range():
    found = apart(separate([6, 7, 6, 7, 6], [5] * 12))
    assert (found.low, found.high, found.p, found.higher) == (None, None, None, None)
    assert found.difference == pytest.approx(1.4)
    assert not enough(separate([6] * (LEAST_DAYS - 1), [5] * 12))
    assert enough(separate([6] * LEAST_DAYS, [5] * LEAST_DAYS))
    assert apart(Days({}, {1: 5.0})) is None


def test_three_days_with_both_give_a_cautious_bet():
    found = apart(Days({1: 7, 2: 7, 3: 8}, {1: 6, 2: 6, 3: 6}))
    assert (found.by, found.n_a, found.low) == ("pairs", 3, None)
    assert 0.5 < found.belief.above_zero < 0.99


def test_equal_differences_do_not_count_as_certainty():
    found = apart(Days(dict.fromkeys(range(6), 6.0), dict.fromkeys(range(6), 6.0)))
    assert found.low < -0.2
    assert found.high > 0.2
    assert found.higher is None


def test_a_smaller_share_of_the_1_in_20_makes_the_range_wider():
    days = turns([6, 7, 7, 8, 6, 7, 7], [6, 6, 5, 6, 6, 5, 6])
    one, four = apart(days), apart(days, 0.05 / 4)
    assert four.low < one.low
    assert four.high > one.high


def test_a_sign_flip_test_that_does_not_agree_holds_the_claim_back():
    """Six of six the same way is p 1/32, which is too much for a quarter of 1 in 20."""
    a, b = {day: 8.0 + day % 2 for day in range(6)}, dict.fromkeys(range(6), 4.0)
    assert apart(Days(a, b)).higher == "A"
    assert apart(Days(b, a)).higher == "B"
    quarter = apart(Days(a, b), 0.05 / 4)
    assert quarter.low > 0
    assert quarter.higher is None


def test_days_that_resemble_each_other_widen_runs_and_not_turns():
    rng = np.random.default_rng(5)
    noise = rng.normal(size=40)
    for day in range(1, 40):
        noise[day] = 0.7 * noise[day - 1] + 0.7 * noise[day]
    noise -= noise.mean()
    runs, takes_turns = separate(noise[:20], noise[20:]), turns(noise[::2], noise[1::2])
    assert resemblance(takes_turns)[0] > 0.3
    assert resemblance(takes_turns)[1] == 1
    assert resemblance(runs)[1] > 1.5
    wide, plain = apart(runs), ttest_ind(noise[:20], noise[20:], equal_var=False)
    interval = plain.confidence_interval()
    assert wide.high - wide.low > 1.2 * (interval.high - interval.low)


def test_days_far_apart_do_not_resemble_each_other():
    a = {30 * n: score for n, score in enumerate([5, 5, 5, 7, 7, 7, 7])}
    assert resemblance(Days(a, {30 * n + 15: s for n, s in enumerate([4, 4, 6, 6, 6, 6])})) == (
        0,
        1,
    )


def test_one_day_has_no_spread():
    assert spread([5.0]) is None
    assert spread([5.0, 7.0]) == pytest.approx(2**0.5)
