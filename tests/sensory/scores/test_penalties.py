"""Penalties of just-right answers, worked by hand, and against scipy's Welch interval."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from scipy.stats import ttest_ind

from app.sensory.scores.penalties import Answer, Penalty, penalties


def a_day_each(
    right: Sequence[float], little: Sequence[float] = (), much: Sequence[float] = ()
) -> list[Answer]:
    """Each cup on a day of its own, far from the others."""
    cups = [(score, 3) for score in right] + [(s, 2) for s in little] + [(s, 4) for s in much]
    return [Answer(20 * day, liking, step) for day, (liking, step) in enumerate(cups)]


def test_a_penalty_worked_by_hand_to_its_printed_digits() -> None:
    """Twenty-five cups: 12 just right of mean 86/12, 8 too sweet of mean 44/8, 5 not enough of
    mean 33/5. By hand, as the method of ASTM MNL63 (from memory) has it: penalty and its share."""
    right, much, little = (
        [7, 8, 7, 6, 8, 7, 7, 8, 6, 7, 8, 7],
        [5, 6, 5, 6, 6, 5, 6, 5],
        [7, 6, 7, 6, 7],
    )
    found = {one.side: one for one in penalties({"sweetness": a_day_each(right, little, much)})}
    too_much, too_little = found["too much"], found["too little"]
    printed = [
        (one.cups, one.answers, f"{100 * one.share:.0f} %", f"{one.drop:.2f}", f"{one.takes:.3f}")
        for one in (too_much, too_little)
    ]
    assert printed == [(8, 25, "32 %", "1.67", "0.533"), (5, 25, "20 %", "0.57", "0.113")]
    assert [one.side for one in penalties({"sweetness": a_day_each(right, little, much)})] == [
        "too much", "too little",
    ]  # fmt: skip


def test_the_range_of_one_side_is_welchs() -> None:
    right, much = [7, 7, 8, 7, 8, 6, 7], [5, 5, 4, 6, 5, 6]
    (found,) = penalties({"body": a_day_each(right, much=much)})
    reference = ttest_ind(right, much, equal_var=False).confidence_interval(0.95)
    assert found.drop == pytest.approx(np.mean(right) - np.mean(much))
    assert (found.found.low, found.found.high) == pytest.approx((reference.low, reference.high))
    assert found.costs


def test_all_sides_share_the_one_in_twenty() -> None:
    right, off = [7, 7, 8, 7, 8, 6, 7], [5, 5, 4, 6, 5, 6]
    answers = {name: a_day_each(right, much=off) for name in ("body", "strength", "acidity")}
    reference = ttest_ind(right, off, equal_var=False).confidence_interval(1 - 0.05 / 3)
    assert {round(one.found.low or 0.0, 9) for one in penalties(answers)} == {
        round(reference.low, 9)
    }


def test_several_cups_of_a_day_count_once() -> None:
    answers = [Answer(day, 8, 3) for day in range(6) for _ in range(3)]
    answers += [Answer(100 + day, 5, 5) for day in range(6) for _ in range(2)]
    (found,) = penalties({"body": answers})
    assert (found.cups, found.right, found.found.n_a, found.found.n_b) == (12, 18, 6, 6)


def test_too_few_days_give_a_penalty_without_a_range() -> None:
    (found,) = penalties({"body": a_day_each([7] * 6, much=[5] * 4)})
    assert (found.drop, found.found.low, found.costs) == (2.0, None, False)


@pytest.mark.parametrize(
    ("right", "off"), [(10, 3), (17, 4), (1, 9), (0, 9)], ids=["few", "small share", "one", "none"]
)
def test_no_penalty_from_too_little(right: int, off: int) -> None:
    assert penalties({"body": a_day_each([6] * right, [5] * off)}) == ()


def test_a_fifth_of_the_cups_is_enough() -> None:
    assert len(penalties({"body": a_day_each([6] * 16, [6] * 4)})) == 1


def test_what_takes_most_off_the_mean_comes_first() -> None:
    few_but_much = a_day_each([8] * 16, much=[4] * 4)
    many = a_day_each([7] * 8, much=[5] * 12)
    found: tuple[Penalty, ...] = penalties({"body": few_but_much, "acidity": many})
    assert [(one.attribute, round(one.takes, 2)) for one in found] == [
        ("acidity", 1.2),
        ("body", 0.8),
    ]
