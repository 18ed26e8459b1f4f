"""The filter's charts hold the numbers given, and Plotly itself accepts them."""

from __future__ import annotations

from plotly.graph_objects import Figure

from app.charts.filter_uses import filter_uses


def test_each_value_stands_at_its_use_number() -> None:
    figure = Figure(filter_uses([3, 4, 6], [31, 34.123456, 40], y_title="press time, s"))
    assert tuple(figure.data[0].x) == (3, 4, 6)
    assert tuple(figure.data[0].y) == (31, 34.1235, 40)
    assert figure.layout.yaxis.title.text == "press time, s"
    assert figure.layout.xaxis.title.text == "use number"


def test_few_uses_are_marked_one_by_one_and_many_are_not() -> None:
    few = filter_uses([1, 2], [5, 6], y_title="liking, 1–9", y_range=(0.5, 9.5))
    many = filter_uses(list(range(1, 200)), [5.0] * 199, y_title="liking, 1–9")
    assert few["layout"]["xaxis"]["dtick"] == 1
    assert few["layout"]["yaxis"]["range"] == [0.5, 9.5]
    assert "dtick" not in many["layout"]["xaxis"]
    Figure(few)
    Figure(many)


def test_no_use_at_all_is_still_a_figure() -> None:
    Figure(filter_uses([], [], y_title="press time, s"))
