"""Ratio, strength and liking over the days."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from plotly.graph_objects import Figure

from app.charts.over_time import Point, over_time


def point(day: str, **given: Any) -> Point:
    plain = {"ratio": 16.0, "strength_pct": (1.2, 1.1, 1.3), "measured": False, "liking": 6.0}
    return Point(day, **plain | given)


DAYS = [point("2026-03-01"), point("2026-03-02", measured=True), point("2026-03-04", liking=None)]
CUPS = {"A": DAYS[0], "B": point("2026-03-05", ratio=17.0, strength_pct=None, liking=8.0)}


def traces(figure: dict[str, Any], axis: str) -> list[Any]:
    return [trace for trace in Figure(figure).data if (trace.yaxis or "y") == axis]


def test_every_brew_stands_in_the_panels_it_has_numbers_for() -> None:
    figure = over_time([("bag of A and B", DAYS)], {})
    (ratio,) = traces(figure, "y")
    (liking,) = traces(figure, "y3")
    assert ratio.x == ("2026-03-01", "2026-03-02", "2026-03-04")
    assert liking.x == ("2026-03-01", "2026-03-02")


def test_measured_strengths_are_filled_and_estimates_hollow() -> None:
    estimated, measured = traces(over_time([("bag", DAYS)], {}), "y2")
    assert estimated.marker.symbol == "circle-open"
    assert estimated.x == ("2026-03-01", "2026-03-04")
    assert measured.marker.symbol == "circle"
    assert measured.x == ("2026-03-02",)


def test_only_the_marked_cups_have_their_ranges_drawn() -> None:
    figure = over_time([("bag", DAYS)], {"A": DAYS[0], "B": DAYS[1]})
    ranged = {t["name"]: t["error_y"] for t in figure["data"] if "error_y" in t}
    assert list(ranged) == ["Cup A", "Cup B"]
    assert all((bar["array"], bar["arrayminus"]) == ([0.1], [0.1]) for bar in ranged.values())
    assert len(traces(figure, "y2")) == 4


def strays(letters: str) -> dict[str, Any]:
    """Ten brews alike, one of ratio 9, one of 2.4 % TDS; both are A and B, if `letters` say so."""
    alike = [
        point(f"2026-03-{n:02d}", ratio=16 + n / 10, strength_pct=(1.2 + n / 90, 1.1, 1.35))
        for n in range(1, 21)
    ]
    far = [point("2026-03-22", ratio=9.0), point("2026-03-23", strength_pct=(2.4, 2.3, 2.5))]
    cups = dict(zip(letters, far, strict=False))
    return over_time([("bag", [*alike, *far])], cups)


def test_strays_flatten_no_plot_and_are_told_above_it() -> None:
    layout = strays("")["layout"]
    assert layout["yaxis"]["range"][0] > 15
    assert layout["yaxis2"]["range"][1] < 1.6
    notes = {note["y"]: note["text"] for note in layout["annotations"]}
    assert notes == {1.0: "1 lies below this chart", 0.66: "1 lies above this chart"}
    Figure(strays(""))


def test_cups_a_and_b_are_never_left_out_of_view() -> None:
    layout = strays("AB")["layout"]
    assert layout["annotations"] == []
    assert not {"range"} & (layout["yaxis"].keys() | layout["yaxis2"].keys())


def test_two_series_have_names_and_shapes_of_their_own() -> None:
    figure = over_time([("bag of A", DAYS), ("bag of B", DAYS)], {})
    first, second = traces(figure, "y")
    assert (first.name, first.marker.symbol, first.showlegend) == ("bag of A", "circle", True)
    assert (second.name, second.marker.symbol, second.showlegend) == ("bag of B", "diamond", True)


def test_both_cups_are_marked_in_every_panel_they_have_a_number_for() -> None:
    figure = over_time([("bag", DAYS)], CUPS)
    letters = {
        axis: [trace.text[0] for trace in traces(figure, axis) if trace.text]
        for axis in ("y", "y2", "y3")
    }
    assert letters == {"y": ["A", "B"], "y2": ["A"], "y3": ["A", "B"]}


def test_the_panels_stand_one_above_the_other_on_one_axis_of_days() -> None:
    layout = Figure(over_time([("bag", DAYS)], CUPS)).layout
    tops = [layout.yaxis3.domain, layout.yaxis2.domain, layout.yaxis.domain]
    assert all(lower[1] < upper[0] for lower, upper in pairwise(tops))
    assert layout.xaxis.type == "date"
    assert "% TDS" in layout.yaxis2.title.text


def test_no_brews_at_all_still_shows_the_cups() -> None:
    assert len(Figure(over_time([("bag", [])], CUPS)).data) == 5
