"""Charts of two groups hold every score, and Plotly itself accepts them."""

from __future__ import annotations

import pytest
from plotly.graph_objects import Figure

from app.charts.groups import WIDEST, Point, Strip, beside_each_other, by_use, over_days, strips

POINTS = [Point("A", 1, 7), Point("A", 1, 7), Point("B", 1, 7), Point("B", 3, 5)]


def test_plotly_accepts_every_figure_and_no_score_is_lost() -> None:
    columns = [Strip("A, sighted", "A", [7, 7, 6], 6.7), Strip("B, sighted", "B", [5], 5.0)]
    figure = Figure(strips(columns))
    assert [list(trace.y) for trace in figure.data] == [[7, 7, 6], [5], [6.7, 5.0]]
    assert list(figure.layout.xaxis.ticktext) == ["A, sighted", "B, sighted"]
    days = [point._replace(x=f"2026-03-0{point.x}") for point in POINTS]
    for made in (over_days(days), by_use(POINTS)):
        assert [len(trace.y) for trace in Figure(made).data] == [2, 2]


def test_equal_scores_stand_beside_each_other_about_the_middle() -> None:
    places = beside_each_other([7, 5, 7, 7])
    assert places[1] == 0
    assert sorted([places[0], places[2], places[3]]) == pytest.approx([-0.06, 0, 0.06])


def test_however_many_they_stay_in_their_strip() -> None:
    places = beside_each_other([6] * 300)
    assert (min(places), max(places)) == pytest.approx((-WIDEST, WIDEST))
    assert len(set(places)) == 300


def test_a_and_b_differ_in_shape_and_colour() -> None:
    a, b = over_days(POINTS)["data"]
    assert a["marker"]["symbol"] != b["marker"]["symbol"]
    assert a["marker"]["color"] != b["marker"]["color"]


def test_equal_scores_of_one_use_do_not_hide_each_other() -> None:
    a, b = by_use(POINTS)["data"]
    assert len({*a["x"], b["x"][0]}) == 3
