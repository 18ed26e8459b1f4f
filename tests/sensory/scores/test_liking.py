import numpy as np
import pytest
from scipy.stats import ttest_ind

from app.sensory.scores.penalties import penalties
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
