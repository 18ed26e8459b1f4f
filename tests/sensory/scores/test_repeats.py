"""A difference of two cups beside the taster's own repeats: like compared with like."""

from datetime import date, timedelta
from math import sqrt

import numpy as np
import pytest
from scipy.stats import t as student

from app.sensory.scores.repeats import (
    LEAST_SD,
    NONE_YET,
    SHARED,
    Repeat,
    against_repeats,
    pooled,
    spread_of_repeats,
)

FIRST = date(2026, 3, 1)


def days(*scores, start=0):
    """One cup a day."""
    return [Repeat(FIRST + timedelta(start + n), score) for n, score in enumerate(scores)]


def morning(*scores, day=0):
    return [Repeat(FIRST + timedelta(day), score) for score in scores]


def test_spread_pools_the_repeats_of_each_recipe():
    # squares about the means: 2 with 2 degrees, 0.5 with 1; the single cup says nothing
    found = spread_of_repeats([days(5, 6, 7), days(7, 8, start=9), days(9)], one_day=False)
    assert (found.sd, found.df, found.groups, found.repeats) == (sqrt(2.5 / 3), 3, 2, 5)
    assert pooled([[5, 6, 7], [7, 8]]).sd == found.sd


@pytest.mark.parametrize("groups", [[], [[]], [days(6), days(7)]])
def test_no_repeats_no_spread(groups):
    assert spread_of_repeats(groups, one_day=False) is None
    assert spread_of_repeats(groups, one_day=True) is None
    assert (
        against_repeats(1, groups, one_day=True).sentence == f"The scores are 1 apart. {NONE_YET}"
    )


def test_two_cups_of_two_days_are_compared_with_the_first_cups_of_days():
    group = [*morning(5, 9), *morning(7, 3, day=1)]
    found = spread_of_repeats([group], one_day=False)
    assert (found.sd, found.df) == (sqrt(2), 1)


def test_p4b_repeats_of_one_morning_do_not_measure_two_mornings():
    """cf7c70f: "this difference is larger" in .20 of such pairs, for a stated 1 in 20."""
    found = against_repeats(3, [morning(6, 6, 7, 6, 7)], one_day=False)
    assert found.size == "no repeats"
    assert found.sentence == f"The scores are 3 apart. {SHARED}"


def test_two_cups_of_one_day_are_compared_with_what_tells_more():
    both = [morning(5, 6), *[days(4, 6, 8, 7, start=9)]]
    assert not spread_of_repeats(both, one_day=True).one_day
    both = [morning(5, 6, 7, 7, 6), days(4, 6, start=9)]
    assert spread_of_repeats(both, one_day=True).one_day


def test_two_recipes_on_the_same_two_mornings_tell_of_one_difference():
    shared = [days(5, 8), days(4, 7), days(6, 9)]
    apart = [days(5, 8), days(4, 7, start=9), days(6, 9, start=18)]
    linked = [days(5, 8), days(4, 7, start=1), days(6, 9, start=9)]
    assert spread_of_repeats(shared, one_day=False).df == 1
    assert spread_of_repeats(apart, one_day=False).df == 3
    assert spread_of_repeats(linked, one_day=False).df == 3


@pytest.mark.parametrize(("day_sd", "recipes"), [(0.9, 1), (0.9, 6), (0.0, 2)])
def test_no_more_than_1_in_20_pairs_of_two_mornings_are_called_larger(day_sd, recipes):
    rng = np.random.default_rng(4)
    runs, larger = 1500, 0
    for _ in range(runs):
        mornings = rng.normal(0, day_sd, 5)
        groups = [
            days(*(np.round(6 + mornings[:3] + rng.normal(0, 0.8, 3))).tolist())
            for _ in range(recipes)
        ]
        first, second = np.round(6 + mornings[3:] + rng.normal(0, 0.8, 2))
        larger += against_repeats(first - second, groups, one_day=False).size == "more than repeats"
    assert larger / runs < 0.05


def test_the_range_is_that_of_student_with_half_a_point_for_rounding():
    found = against_repeats(1, [days(5, 6, 7, 6, 6, 8, 5)], one_day=False)
    sd = np.std([5, 6, 7, 6, 6, 8, 5], ddof=1)
    assert found.range_95 == pytest.approx(student.ppf(0.975, 6) * sd * sqrt(2) + 0.5)


def test_what_two_repeats_were_apart_is_never_called_larger():
    many = [days(*[6] * 30, 9)]
    assert against_repeats(3, many, one_day=False).size == "like repeats"
    assert against_repeats(4, many, one_day=False).size == "more than repeats"


def test_fault_21_ten_equal_repeats_say_what_whole_points_hide():
    """cf7c70f: "Your 10 repeats all scored alike: too few to know a spread"."""
    equal = [days(*[6] * 10)]
    one, two = (against_repeats(apart, equal, one_day=False) for apart in (1, 2))
    assert one.sentence == (
        "The scores are 1 apart. Your 10 repeats of one recipe, made on different days, all scored "
        "alike, which fits differences up to 1.6; this one is within that. One cup each is not a "
        "test."
    )
    assert two.size == "more than repeats"
    assert one.range_95 == pytest.approx(student.ppf(0.975, 9) * LEAST_SD * sqrt(2) + 0.5)
    assert against_repeats(2, [days(6, 6, 6)], one_day=False).size == "like repeats"


def test_two_repeats_are_too_few_to_measure_anything_by():
    """Their range would be wider than the scale."""
    found = against_repeats(3, [morning(6, 7)], one_day=True)
    assert (found.size, found.range_95) == ("no repeats", None)
    assert found.sentence == (
        "The scores are 3 apart. Your 2 repeats of one recipe, made on one day, are too few to "
        "measure it by."
    )


@pytest.mark.parametrize(
    ("difference", "groups", "one_day", "sentence"),
    [
        (0, [days(5, 6, 7), days(7, 8, start=9)], False,
         "The scores are equal. Going by your 5 repeats of 2 recipes, made on different days, two "
         "such cups stay within 4.6 of each other 19 times in 20; this difference is one that "
         "repeats show. One cup each is not a test."),
        (-6, [morning(5, 6, 7)], True,
         "The scores are 6 apart. Going by your 3 repeats of one recipe, made on one day, two such "
         "cups stay within 6.6 of each other 19 times in 20; this difference is one that repeats "
         "show. One cup each is not a test."),
        (-4, [morning(5, 6, 6, 6, 7)], True,
         "The scores are 4 apart. Going by your 5 repeats of one recipe, made on one day, two such "
         "cups stay within 3.3 of each other 19 times in 20; this difference is larger, which by "
         "luck alone one pair in 20 would be. One cup each is not a test."),
    ],
)  # fmt: skip
def test_sentences(difference, groups, one_day, sentence):
    assert against_repeats(difference, groups, one_day=one_day).sentence == sentence
