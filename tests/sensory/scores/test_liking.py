from math import sqrt

import numpy as np
import pytest
from scipy.stats import t as student
from scipy.stats import ttest_ind

from app.sensory.scores.penalties import penalties
from app.sensory.scores.repeats import Spread, against_spread, spread_of_repeats
from app.sensory.scores.scales import (
    JUST_RIGHT_ATTRIBUTES,
    JUST_RIGHT_DEFINITIONS,
    JUST_RIGHT_LABELS,
    LIKING_LABELS,
)


def test_the_nine_points_are_those_of_1957():
    assert list(LIKING_LABELS.items()) == [
        (1, "dislike extremely"),
        (2, "dislike very much"),
        (3, "dislike moderately"),
        (4, "dislike slightly"),
        (5, "neither like nor dislike"),
        (6, "like slightly"),
        (7, "like moderately"),
        (8, "like very much"),
        (9, "like extremely"),
    ]


def test_just_right_is_the_middle_of_five_for_six_attributes():
    assert list(JUST_RIGHT_LABELS) == [1, 2, 3, 4, 5]
    assert JUST_RIGHT_LABELS[3] == "just right"
    assert JUST_RIGHT_ATTRIBUTES == (
        "strength",
        "sweetness",
        "acidity",
        "bitterness",
        "body",
        "clarity",
    )
    assert all(JUST_RIGHT_DEFINITIONS[name].endswith(".") for name in JUST_RIGHT_ATTRIBUTES)


def test_penalty_and_its_range_agree_with_scipy():
    right, much = [7, 7, 8, 7, 8, 6], [5, 5, 4, 6]
    (found,) = penalties([*right, *much], [3] * 6 + [4, 4, 5, 4])
    reference = ttest_ind(right, much, equal_var=False).confidence_interval()
    assert (found.side, found.cups, found.just_right_cups, found.share) == ("too much", 4, 6, 0.4)
    assert found.drop == pytest.approx(np.mean(right) - np.mean(much))
    assert (found.low, found.high) == pytest.approx((reference.low, reference.high))


def test_both_sides_can_cost():
    found = penalties([7] * 4 + [5] * 4 + [6] * 4, [3] * 4 + [2] * 4 + [5] * 4)
    assert [(p.side, p.drop, p.low) for p in found] == [
        ("too little", 2.0, None),  # nothing varies: no range can be given
        ("too much", 1.0, None),
    ]


@pytest.mark.parametrize(
    ("right", "off"), [(10, 3), (17, 4), (1, 9), (0, 9)], ids=["few", "small share", "one", "none"]
)
def test_no_penalty_from_too_little(right, off):
    assert penalties([6] * (right + off), [3] * right + [1] * off) == ()


def test_a_fifth_of_the_cups_is_enough():
    assert len(penalties([6] * 20, [3] * 16 + [1] * 4)) == 1


def test_scores_must_come_in_pairs():
    with pytest.raises(ValueError, match="every cup"):
        penalties([6, 7], [3])


def test_spread_pools_the_repeats_of_each_recipe():
    # squares about the means: 2 with 2 degrees, 0.5 with 1; the single cup says nothing
    assert spread_of_repeats([[5, 6, 7], [7, 8], [9]]) == Spread(sqrt(2.5 / 3), 3, 2)
    assert spread_of_repeats([[5, 6, 7], [7, 8]]).repeats == 5


@pytest.mark.parametrize("groups", [[], [[]], [[6], [7]]])
def test_no_repeats_no_spread(groups):
    assert spread_of_repeats(groups) is None


def test_range_covers_the_difference_of_two_new_cups_19_times_in_20():
    rng = np.random.default_rng(4)
    tries, inside = 4000, 0
    for _ in range(tries):
        spread = spread_of_repeats(rng.normal(6, 0.8, (2, 3)).tolist())
        first, second = rng.normal(7, 0.8, 2)
        inside += against_spread(first - second, spread).size == "like repeats"
    assert inside / tries == pytest.approx(0.95, abs=4 * sqrt(0.95 * 0.05 / tries))


def test_comparison_has_the_t_based_range():
    found = against_spread(1.0, Spread(0.5, 6, 2))
    assert found.usual == pytest.approx(0.5 * sqrt(2))
    assert found.range_95 == pytest.approx(student.ppf(0.975, 6) * 0.5 * sqrt(2))


@pytest.mark.parametrize(
    ("difference", "spread", "size", "sentence"),
    [
        (
            0.5,
            None,
            "no repeats",
            "The scores are 0.5 apart. No repeats yet: nothing to set one cup against one cup "
            "beside.",
        ),
        (
            1,
            Spread(0.5, 6, 2),
            "like repeats",
            "The scores are 1 apart. Going by your 8 repeats of 2 recipes, two cups of one recipe "
            "stay within 1.7 of each other 19 times in 20; this difference is one that repeats "
            "show. One cup each is not a test.",
        ),
        (
            -3,
            Spread(0.5, 3, 1),
            "more than repeats",
            "The scores are 3 apart. Going by your 4 repeats of one recipe, two cups of one "
            "recipe stay within 2.3 of each other 19 times in 20; this difference is larger. "
            "One cup each is not a test.",
        ),
        (
            1,
            Spread(0.0, 3, 1),
            "no repeats",
            "The scores are 1 apart. Your 4 repeats all scored alike: too few to know a spread.",
        ),
    ],
)
def test_sentences(difference, spread, size, sentence):
    found = against_spread(difference, spread)
    assert (found.size, found.sentence) == (size, sentence)
