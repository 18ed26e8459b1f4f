"""A trend is read at marks, from one value a day, and what was read stays read."""

import numpy as np
import pytest
from statsmodels.nonparametric.smoothers_lowess import lowess as reference_lowess

from app.sensory.scores.lowess import lowess
from app.sensory.scores.trend import Scored, read_trend

RISING = [5, 5.5, 5.2, 6, 6.4, 6.1, 7, 7.2, 7.5, 7.4, 8, 8.1]


def daily(values, *, ended=False, grain=1.0):
    scored = [Scored(day, day, value) for day, value in enumerate(values)]
    return read_trend(scored, grain=grain, ended=ended)


def noisy(n, seed, slope=0.0):
    rng = np.random.default_rng(seed)
    return np.round(6.3 + slope * np.arange(n) + rng.normal(0, 0.8, n)).tolist()


def test_fault_2_whole_scores_that_fell_are_found():
    """The old range ended at a tied slope of 0 and said "no clear direction"."""
    (*_, last) = daily([7] * 11 + [6] * 11, ended=True).looks
    assert last.way == "fell"
    assert last.high < 0
    (rising,) = daily([6, 6, 6, 7, 7, 7, 7, 8, 8, 8], ended=True).looks
    assert rising.way == "rose"


@pytest.mark.parametrize("cups", [(4, 1), (5, 1), (6, 1), (9, 1), (3, 2), (4, 2), (3, 3, 2)])
def test_fault_2_cups_of_a_few_days_make_no_trend(cups):
    """The old line ran from two days, its range clipped to the least and greatest slope."""
    level = [5.0, 7.0, 9.0]
    scored = [Scored(day, day, level[day]) for day, count in enumerate(cups) for _ in range(count)]
    for ended in (False, True):
        assert read_trend(scored, grain=1.0, ended=ended).looks == ()


def test_it_is_read_at_the_marks_and_at_no_other_time():
    values = noisy(60, 3)
    seen = [len(daily(values[:n]).looks) for n in range(1, 61)]
    assert seen == [0] * 9 + [1] * 10 + [2] * 20 + [3] * 21
    assert [daily(values[:n]).next_mark for n in (1, 9, 10, 39, 40)] == [10, 10, 20, 40, 80]


def test_what_was_read_at_a_mark_stays_read():
    values = noisy(45, 4, slope=-0.15)
    at_twenty = daily(values[:20]).looks
    assert daily(values).looks[:2] == at_twenty
    assert daily(values, ended=True).looks[:2] == at_twenty
    assert daily(values[:20] + [9] * 25).found == next(look for look in at_twenty if look.way)


def test_what_is_entered_later_changes_no_mark_that_was_read():
    """Neither a second cup of a day, nor the score of an old cup."""
    scored = [Scored(day, day, value) for day, value in enumerate(noisy(20, 5, slope=-0.15))]
    before = read_trend(scored, grain=1.0, ended=False).looks
    late = [Scored(19, 19, 9.0), Scored(-3, -3, 1.0), Scored(5, 5, 9.0)]
    assert read_trend([*scored, *late], grain=1.0, ended=False).looks == before


def test_cups_of_one_day_count_as_one():
    scored = [Scored(day, day, value) for day in range(6) for value in (day, day + 1, day + 2)]
    (look,) = read_trend(scored, grain=1.0, ended=True).looks
    assert (look.days, look.cups) == (6, 18)
    assert look.slope == pytest.approx(1.0, abs=0.02)


def test_the_end_is_read_once_with_all_that_is_left_to_spend():
    values = noisy(22, 6)
    open_, ended = daily(values), daily(values, ended=True)
    assert [look.days for look in open_.looks] == [10, 20]
    assert [look.days for look in ended.looks] == [10, 20, 22]
    assert ended.looks[-1].bound < open_.looks[-1].bound
    assert ended.next_mark is None
    assert [look.days for look in daily(values[:20], ended=True).looks] == [10, 20]
    assert daily(values[:20], ended=True).looks[-1].bound < open_.looks[-1].bound


def test_four_days_are_too_few_and_five_are_read_at_the_end():
    assert daily([4, 5, 6, 7], ended=True).looks == ()
    assert [look.days for look in daily([4, 5, 6, 7, 8], ended=True).looks] == [5]


def test_values_at_one_place_have_no_trend():
    scored = [Scored(day, 3.0, day) for day in range(12)]
    assert read_trend(scored, grain=1.0, ended=True).looks == ()


def test_an_end_that_tells_nothing_new_takes_the_place_of_the_mark_before():
    """An eleventh day in the middle of the axis, where it says nothing of a slope."""
    places = [*range(5), *range(6, 11), 5]
    values = noisy(11, 8)
    scored = [Scored(day, x, y) for day, (x, y) in enumerate(zip(places, values, strict=True))]
    (look,) = read_trend(scored, grain=1.0, ended=True).looks
    assert (look.days, look.bound) == (11, pytest.approx(1.96, abs=0.001))


def test_the_order_of_a_days_place_is_that_of_the_axis():
    """Days in the freezer leave the axis where it was; entering late changes nothing at the end."""
    values = noisy(15, 7, slope=0.2)
    scored = [Scored(day, day // 2, value) for day, value in enumerate(values)]
    shuffled = [scored[n] for n in np.random.default_rng(1).permutation(15)]
    ours, theirs = (read_trend(s, grain=1.0, ended=True).looks[-1] for s in (scored, shuffled))
    assert (ours.tau, ours.slope) == (theirs.tau, theirs.slope)


def test_the_line_runs_over_the_days_that_were_read():
    (look,) = daily(RISING[:10], grain=0.1).looks
    (first, at_first), (last, at_last) = look.ends
    assert (first, last) == (0, 9)
    assert at_last - at_first == pytest.approx(9 * look.slope)
    assert at_first == pytest.approx(5, abs=0.3)
    assert [x for x, _ in look.guide] == list(range(10))


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_broken_points_are_refused(value):
    with pytest.raises(ValueError, match="finite"):
        read_trend([Scored(1, 1.0, value)], grain=1.0, ended=False)


@pytest.mark.parametrize("n", [7, 22, 60, 200, 400])
@pytest.mark.parametrize("tied", [False, True], ids=["plain", "ties"])
def test_guide_agrees_with_statsmodels(n, tied):
    rng = np.random.default_rng(n + 1)
    x = np.sort(rng.uniform(0, 40, n))
    y = 0.05 * x + rng.normal(0, 1, n)
    if tied:
        x, y = np.round(x / 2), np.round(y * 2)
    reference = reference_lowess(y, x, frac=2 / 3, it=3, delta=0, return_sorted=False)
    assert lowess(x, y) == pytest.approx(reference, abs=1e-9)


def test_guide_on_a_line_with_one_wild_point_stays_near_the_line():
    x = np.arange(12.0)
    y = 2 * x
    y[6] = 40
    assert np.delete(lowess(x, y), 6) == pytest.approx(np.delete(2 * x, 6), abs=3)
