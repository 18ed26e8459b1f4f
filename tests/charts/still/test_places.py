"""Where a picture puts a value: worked out by hand for each kind of axis."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from app.charts.figure import Figure, axis, scatter
from app.charts.still.draw import inline
from app.charts.still.settle import settled

SVG = "{http://www.w3.org/2000/svg}"


def drawn(data: list[Figure], **layout: object) -> tuple[Figure, str]:
    made = settled({"data": data, "layout": {"height": 300, **layout}})
    return made, inline(made, "chart", "A chart")


def crosses(x: list[object], y: list[object], **layout: object) -> list[tuple[float, float]]:
    """Where points are drawn: share of the width, and share of the height from the bottom."""
    marker = {"symbol": "diamond", "color": "red", "size": 8}
    made, svg = drawn([scatter("markers", x, y, marker=marker)], **layout)
    margin = made["layout"]["margin"]
    top, bottom = margin["t"], 300 - margin["b"]
    found = re.findall(r'<use href="#[\w-]+" x="([\d.]+)%?" y="([\d.]+)"/>', svg)
    return [(float(a) / 100, (bottom - float(b)) / (bottom - top)) for a, b in found]


def near(*places: tuple[float, float]) -> object:
    return [pytest.approx(place, abs=0.0006) for place in places]


def test_a_linear_axis() -> None:
    # From 10 to 30, 15 lies a quarter along; from 0 to 8, 6 three quarters up.
    axes = {"xaxis": axis("", range=[10, 30]), "yaxis": axis("", range=[0, 8])}
    assert crosses([10, 15, 30], [0, 6, 8], **axes) == near((0, 0), (0.25, 0.75), (1, 1))


def test_a_log_axis() -> None:
    # From 0.1 to 1000 are four powers of ten: 1 lies one of them up, 10 two, 31.6228 2.5.
    axes = {"xaxis": axis("", range=[0, 4]), "yaxis": axis("", type="log", range=[-1, 3])}
    found = crosses([0, 2, 4], [1, 10, 31.6228], **axes)
    assert found == near((0, 0.25), (0.5, 0.5), (1, 0.625))


def test_an_axis_of_days_and_times() -> None:
    # From 1 March to 5 March are four days; noon of 2 March is one and a half of them along.
    days = axis("", type="date", range=["2026-03-01", "2026-03-05"])
    axes = {"xaxis": days, "yaxis": axis("", range=[0, 1])}
    found = crosses(["2026-03-01", "2026-03-02 12:00", "2026-03-05"], [0, 0, 0], **axes)
    assert found == near((0, 0), (0.375, 0), (1, 0))


def test_an_axis_of_names() -> None:
    # Three names take a third each and stand in the middle of it.
    names = {"type": "category", "categoryarray": ["c", "b", "a"]}
    axes = {"xaxis": axis("", range=[0, 1]), "yaxis": names}
    found = crosses([0, 0, 0], ["a", "b", "c"], **axes)
    assert found == near((0, 5 / 6), (0, 0.5), (0, 1 / 6))


def test_panels_have_their_part_of_the_height() -> None:
    marker = {"symbol": "diamond", "color": "red", "size": 8}
    upper = scatter("markers", [0], [1.0], marker=marker)
    lower = scatter("markers", [0], [5.0], marker=marker, yaxis="y2")
    made, svg = drawn(
        [upper, lower],
        yaxis=axis("", range=[0, 1], domain=[0.6, 1.0]),
        yaxis2=axis("", range=[0, 5], domain=[0.0, 0.4]),
    )
    margin = made["layout"]["margin"]
    top, tall = margin["t"], 300 - margin["b"] - margin["t"]
    ys = [float(y) for y in re.findall(r'<use [^>]*y="([\d.]+)"', svg)]
    assert ys == [pytest.approx(top, abs=0.06), pytest.approx(top + 0.6 * tall, abs=0.06)]


def test_points_without_a_value_and_beyond_the_axis_are_not_drawn() -> None:
    axes = {"xaxis": axis("", range=[0, 4]), "yaxis": axis("", range=[0, 4])}
    found = crosses([1, 2, 3, 5], [None, float("nan"), 2, 2], **axes)
    assert found == near((0.75, 0.5))


def test_an_error_bar_reaches_from_end_to_end() -> None:
    bar = {"array": [2], "arrayminus": [1], "color": "red", "thickness": 1}
    axes = {"xaxis": axis("", range=[0, 4]), "yaxis": axis("", range=[0, 10])}
    made, svg = drawn([scatter("markers", [2], [5], error_y=bar)], **axes)
    margin = made["layout"]["margin"]
    tall = 300 - margin["b"] - margin["t"]
    found = re.search(r'<path fill="none" stroke="red" d="m([\d.]+) ([\d.]+)v-([\d.]+)"', svg)
    assert found is not None
    x, foot, length = map(float, found.groups())
    plot = 330 - margin["l"] - margin["r"]
    assert x == pytest.approx(plot / 2, abs=0.06)
    assert foot == pytest.approx(margin["t"] + tall * 0.6, abs=0.06)  # 4 of 10 up
    assert length == pytest.approx(tall * 0.3, abs=0.11)  # from 4 to 7


def test_rounding_does_not_add_up_along_a_line() -> None:
    x = [n / 7 for n in range(1000)]
    line = scatter("lines", x, x, line={"color": "red", "width": 1})
    axes = {"xaxis": axis("", range=[0, 150]), "yaxis": axis("", range=[0, 150])}
    made, svg = drawn([line], **axes)
    found = re.search(r'stroke="red" d="m([^"]+)"', svg)
    assert found is not None
    numbers = [float(n) for n in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", found[1])]
    plot = 330 - made["layout"]["margin"]["l"] - made["layout"]["margin"]["r"]
    assert sum(numbers[::2]) == pytest.approx(x[-1] / 150 * plot, abs=0.051)


def test_steps_go_across_first_and_gaps_stay_open() -> None:
    line = {"color": "red", "width": 1, "shape": "hv"}
    trace = scatter("lines", [0, 1, 2, 3, 4], [1, 2, None, 1, 3], line=line)
    axes = {"xaxis": axis("", range=[0, 4]), "yaxis": axis("", range=[0, 4])}
    _, svg = drawn([trace], **axes)
    found = re.search(r'stroke="red" d="([^"]+)"', svg)
    assert found is not None
    first, second = found[1].split("m")[1:]
    for run in (first, second):
        _, across, up = pairwise_moves(run)
        assert across[1] == 0 < across[0]
        assert up[0] == 0 > up[1]


def pairwise_moves(run: str) -> list[tuple[float, float]]:
    numbers = [float(n) for n in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", run)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def test_the_picture_is_named_and_described() -> None:
    axes = {"xaxis": axis("rest, days", range=[0, 60]), "yaxis": axis("% TDS", range=[0, 8])}
    _, svg = drawn([scatter("markers", [1], [2])], **axes)
    root = ElementTree.fromstring(svg)  # noqa: S314  our own
    assert root.get("role") == "img"
    name, says = (root.find(tag) for tag in ("title", "desc"))
    assert name is not None
    assert says is not None
    assert root.get("aria-labelledby") == f"{name.get('id')} {says.get('id')}"
    assert name.text == "A chart"
    assert says.text == "Rest, days: 0 to 60; % TDS: 0 to 8."


def test_words_stand_apart_from_left_to_right() -> None:
    made, _ = drawn([scatter("markers", list(range(90)), list(range(90)))])
    values = made["layout"]["xaxis"]["tickvals"]
    assert len(values) >= 4
    assert {round(b - a, 9) for a, b in pairwise(values)} == {values[1] - values[0]}
