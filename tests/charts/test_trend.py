"""Charts over days or uses hold the numbers given, and Plotly itself accepts them."""

from __future__ import annotations

from dataclasses import replace

import pytest
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
    assert list(lines) == ["trend, may be chance", "smoothed", "trend"]
    unclear = lines["trend, may be chance"]
    assert (unclear["x"], unclear["y"]) == ([4, 9], [6.0, 7.25])
    assert unclear["line"]["dash"] == "dash"
    assert lines["trend"]["line"]["dash"] == "solid"
    assert lines["trend"]["line"]["color"] != unclear["line"]["color"]


def test_the_legend_has_each_kind_of_line_once() -> None:
    made = trend_chart([replace(SIGHTED, line=LINE), replace(BLIND, line=LINE)], **AXES)
    lines = [(t["name"], t["showlegend"]) for t in made["data"] if t["mode"] == "lines"]
    named, smoothed = "trend, may be chance", "smoothed"
    assert lines == [(named, True), (smoothed, True), (named, False), (smoothed, False)]


@pytest.mark.parametrize(("count", "drawn"), [(12, True), (13, False)])
def test_ranges_are_drawn_thin_and_light_and_not_among_many(count: int, drawn: bool) -> None:
    y = [1.2 + n / 100 for n in range(count)]
    kind = Points("estimated", range(count), y, [v - 0.1 for v in y], [v + 0.1 for v in y])
    trace = trend_chart([kind], **AXES)["data"][0]
    assert ("error_y" in trace) is drawn
    if drawn:
        assert (trace["error_y"]["thickness"], trace["error_y"]["width"]) == (1, 3)
        assert trace["error_y"]["color"] == "var(--line-strong)"


def test_a_stray_does_not_flatten_the_rest_and_is_told() -> None:
    y = [16.5 + n / 10 for n in range(12)]
    made = trend_chart([Points("ratio", range(13), [*y, 9.7])], **AXES)
    low, high = made["layout"]["yaxis"]["range"]
    assert 16 < low < 16.5
    assert 17.6 < high < 18
    assert [note["text"] for note in made["layout"]["annotations"]] == ["1 lies below this chart"]
    assert made["data"][0]["y"][-1] == 9.7
    Figure(made)


def test_an_axis_that_is_given_holds_what_it_is_given_for() -> None:
    made = trend_chart([Points("liking", range(13), [7.0, 7.5] * 6 + [1.0])], **AXES,
                       y_range=(0.5, 9.5))  # fmt: skip
    assert made["layout"]["yaxis"]["range"] == [0.5, 9.5]
    assert "annotations" not in made["layout"]


def test_a_trend_and_ranges_that_are_drawn_stay_in_view() -> None:
    y = [16.5 + n / 10 for n in range(11)]
    kind = Points("estimated", range(12), [*y, 40.0], [*(v - 2 for v in y), 30.0],
                  [*(v + 2 for v in y), 50.0], LINE)  # fmt: skip
    low, high = trend_chart([kind], **AXES)["layout"]["yaxis"]["range"]
    assert low < LINE.ends[0][1] == 6.0
    assert 19.5 < high < 21


def test_one_kind_alone_needs_no_name() -> None:
    made = trend_chart([replace(SIGHTED, line=LINE)], **AXES)
    assert [trace["name"] for trace in made["data"][1:]] == ["trend, may be chance", "smoothed"]
    assert not made["data"][0]["showlegend"]


def test_few_steps_are_marked_one_by_one_and_many_are_not() -> None:
    many = Points("sighted", [1, 40], [5.0, 5.0])
    assert trend_chart([SIGHTED], **AXES)["layout"]["xaxis"]["dtick"] == 1
    assert "dtick" not in trend_chart([many], **AXES)["layout"]["xaxis"]


def test_nothing_to_draw_is_still_a_figure() -> None:
    made = trend_chart([replace(Points("sighted", [], []), line=LINE)], **AXES)
    assert made["data"] == []
    Figure(made)
