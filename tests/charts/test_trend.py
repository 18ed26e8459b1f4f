"""Charts over days or uses hold the numbers given, and Plotly itself accepts them."""

from __future__ import annotations

from dataclasses import replace

from plotly.graph_objects import Figure

from app.charts.trend import Points, TrendLine, trend_chart

SIGHTED = Points("sighted", [4, 6, 9], [6, 7, 5])
BLIND = Points("blind", [6], [8])
AXES = {"x_title": "rest, days", "y_title": "liking, 1–9"}
LINE = TrendLine(((4, 6.0), (9, 7.25)), clear=False, guide=[(4, 6.1), (9, 5.9)])


def test_plotly_accepts_every_part_of_the_figure() -> None:
    ranged = Points("estimated", [4, 9], [1.2, 1.31], [1.1, 1.2], [1.3, 1.5])
    made = trend_chart([replace(SIGHTED, line=LINE), ranged], y_range=(0.5, 9.5), **AXES)
    figure = Figure(made)
    assert {trace.type for trace in figure.data} == {"scatter"}
    assert (figure.layout.xaxis.title.text, figure.layout.yaxis.title.text) == tuple(AXES.values())
    assert tuple(figure.layout.yaxis.range) == (0.5, 9.5)


def test_blind_and_sighted_differ_in_shape_and_colour_and_are_named() -> None:
    sighted, blind = trend_chart([SIGHTED, BLIND], **AXES)["data"]
    assert (sighted["name"], blind["name"]) == ("sighted", "blind")
    assert sighted["showlegend"]
    assert blind["showlegend"]
    assert sighted["marker"]["symbol"] != blind["marker"]["symbol"]
    assert sighted["marker"]["color"] != blind["marker"]["color"]


def test_a_kind_without_points_leaves_the_other_with_its_own_shape() -> None:
    nothing = Points("sighted", [], [])
    (only,) = trend_chart([nothing, BLIND], **AXES)["data"]
    assert only["marker"]["symbol"] == "diamond-open"


def test_ranges_reach_from_low_to_high() -> None:
    ranged = Points("estimated", [4], [1.2], [1.1], [1.35])
    error = trend_chart([ranged], **AXES)["data"][0]["error_y"]
    assert (error["arrayminus"], error["array"]) == ([0.1], [0.15])


def test_each_kind_has_a_line_of_its_own_dashed_without_a_direction() -> None:
    blind = replace(BLIND, line=TrendLine(((6, 8.0), (9, 7.0)), clear=True))
    made = trend_chart([replace(SIGHTED, line=LINE), blind], **AXES)
    lines = {trace["name"]: trace for trace in made["data"] if trace["mode"] == "lines"}
    assert list(lines) == ["unclear trend, sighted", "guide, sighted", "trend, blind"]
    unclear = lines["unclear trend, sighted"]
    assert (unclear["x"], unclear["y"]) == ([4, 9], [6.0, 7.25])
    assert unclear["line"]["dash"] == "dash"
    assert lines["trend, blind"]["line"]["dash"] == "solid"
    assert lines["trend, blind"]["line"]["color"] != unclear["line"]["color"]


def test_one_kind_alone_needs_no_name() -> None:
    made = trend_chart([replace(SIGHTED, line=LINE)], **AXES)
    assert [trace["name"] for trace in made["data"][1:]] == ["unclear trend", "guide"]
    assert not made["data"][0]["showlegend"]


def test_few_steps_are_marked_one_by_one_and_many_are_not() -> None:
    many = Points("sighted", [1, 40], [5.0, 5.0])
    assert trend_chart([SIGHTED], **AXES)["layout"]["xaxis"]["dtick"] == 1
    assert "dtick" not in trend_chart([many], **AXES)["layout"]["xaxis"]


def test_nothing_to_draw_is_still_a_figure() -> None:
    made = trend_chart([replace(Points("sighted", [], []), line=LINE)], **AXES)
    assert made["data"] == []
    Figure(made)
