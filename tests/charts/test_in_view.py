"""Strays do not flatten a chart, are told, and nothing else is ever left out of view."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.charts.in_view import View, in_view, told

NEAR = [16.7, 17.4, 17.4, 17.1, 16.9, 17.8, 16.6, 17.4, 17.0, 17.3, 16.8, 17.2]


def test_one_stray_is_left_out_and_told() -> None:
    view = in_view([*NEAR, 9.7])
    assert view is not None
    assert (view.below, view.above) == (1, 0)
    assert view.words == "1 lies below this chart"
    low, high = view.range
    assert 16.4 < low < min(NEAR)
    assert max(NEAR) < high < 18


def test_strays_on_both_sides_are_counted_each() -> None:
    view = in_view([*NEAR, *NEAR, 9.7, 61.0])
    assert view is not None
    assert view.words == "2 lie outside this chart: 1 below, 1 above"
    assert told(view)["text"] == view.words


def test_an_axis_that_nothing_flattens_holds_everything() -> None:
    assert in_view(NEAR) is None
    assert in_view([*NEAR, 18.6]) is None
    assert in_view([5.0] * 20) is None
    assert in_view([5.0] * 20 + [9.0]) is None  # there is nothing to flatten


@pytest.mark.parametrize("few", range(10))
def test_among_few_values_none_is_a_stray(few: int) -> None:
    assert in_view([*NEAR[: max(0, few - 1)], *[99.0] * min(1, few)]) is None


def test_a_second_group_is_no_stray() -> None:
    assert in_view([*NEAR, 9.7, 9.8, 9.6]) is None


def test_what_is_kept_stays_in_view_and_takes_what_is_near_it_along() -> None:
    values = [*NEAR, *NEAR, 9.7, 70.0]
    view = in_view(values, kept=[9.5])
    assert view is not None
    assert view.low < 9.5
    assert (view.below, view.above) == (0, 1)
    assert in_view([*NEAR, 9.7], kept=[9.7]) is None


def test_ranges_of_what_is_in_view_are_in_view_and_those_of_strays_are_not() -> None:
    values = [*NEAR, 40.0]
    view = in_view(values, [(v - 0.4, v + 0.5) for v in values])
    assert view is not None
    assert view.low < min(NEAR) - 0.4
    assert max(NEAR) + 0.5 < view.high < 20


def test_what_cannot_be_negative_does_not_seem_to_be() -> None:
    view = in_view([0.0, 1.0, 2.0, 1.5, 0.5, 1.2, 0.8, 1.1, 1.3, 90.0])
    assert view is not None
    assert view.range[0] == 0


def test_spread_out_values_are_hardly_ever_cut() -> None:
    """Of 500 sets of 40 values of a bell curve, cut at all: fewer than one in a hundred."""
    rng = Random(5)
    cut = sum(in_view([rng.gauss(20, 2) for _ in range(40)]) is not None for _ in range(500))
    assert cut < 5


@given(
    values=st.lists(st.floats(-1e6, 1e6), max_size=60),
    kept=st.lists(st.floats(-1e6, 1e6), max_size=3),
)
def test_whatever_the_values_the_counts_are_right_and_most_are_in_view(
    values: list[float], kept: list[float]
) -> None:
    view = in_view(values, kept=kept)
    if view is None:
        return
    assert isinstance(view, View)
    assert view.low < view.high
    assert view.below == sum(v < view.low for v in values)
    assert view.above == sum(v > view.high for v in values)
    assert 0 < view.below + view.above <= 0.1 * len(values)
    assert all(view.low <= v <= view.high for v in kept)
