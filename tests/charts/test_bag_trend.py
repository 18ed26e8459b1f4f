"""The bag's charts hold the numbers given, and Plotly itself accepts them."""

from __future__ import annotations

from plotly.graph_objects import Figure

from app.charts.bag_trend import Points, TrendLine, bag_trend

SIGHTED = Points("sighted", [4, 6, 9], [6, 7, 5])
BLIND = Points("blind", [6], [8])
AXES = {"x_title": "rest, days", "y_title": "liking, 1–9"}


def test_plotly_accepts_every_part_of_the_figure() -> None:
    ranged = Points("estimated", [4, 9], [1.2, 1.31], [1.1, 1.2], [1.3, 1.5])
    made = bag_trend(
        [SIGHTED, ranged],
        line=TrendLine(5.0, 0.1, clear=True),
        guide=[(4, 6.1), (9, 5.9)],
        y_range=(0.5, 9.5),
        **AXES,
    )
    figure = Figure(made)
    assert {trace.type for trace in figure.data} == {"scatter"}
    assert (figure.layout.xaxis.title.text, figure.layout.yaxis.title.text) == tuple(AXES.values())


def test_blind_and_sighted_differ_in_shape_and_colour_and_are_named() -> None:
    sighted, blind = bag_trend([SIGHTED, BLIND], **AXES)["data"]
    assert (sighted["name"], blind["name"]) == ("sighted", "blind")
    assert sighted["showlegend"]
    assert blind["showlegend"]
    assert sighted["marker"]["symbol"] != blind["marker"]["symbol"]
    assert sighted["marker"]["color"] != blind["marker"]["color"]


def test_a_kind_without_points_leaves_the_other_with_its_own_shape() -> None:
    nothing = Points("sighted", [], [])
    (only,) = bag_trend([nothing, BLIND], **AXES)["data"]
    assert only["marker"]["symbol"] == "diamond-open"


def test_ranges_reach_from_low_to_high() -> None:
    ranged = Points("estimated", [4], [1.2], [1.1], [1.35])
    error = bag_trend([ranged], **AXES)["data"][0]["error_y"]
    assert (error["arrayminus"], error["array"]) == ([0.1], [0.15])


def test_the_line_runs_over_the_points_days_and_is_dashed_without_a_direction() -> None:
    made = bag_trend([SIGHTED], line=TrendLine(5.0, 0.25, clear=False), **AXES)
    line = made["data"][-1]
    assert (line["x"], line["y"]) == ([4, 9], [6.0, 7.25])
    assert line["line"]["dash"] == "dash"
    assert line["name"] == "unclear trend"


def test_nothing_to_draw_is_still_a_figure() -> None:
    made = bag_trend([], line=TrendLine(1.0, 0.0, clear=True), **AXES)
    assert made["data"] == []
    Figure(made)
