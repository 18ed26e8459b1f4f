"""Figures of values that no journal should hold, and of those that it may: drawn, and readable."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.dom import minidom

import pytest

from app.charts.figure import Figure, axis, scatter
from app.charts.still.draw import alone
from app.charts.still.letters import width
from app.charts.still.settle import settled
from app.charts.still.signs import Signs
from app.charts.still.values import coordinates

THEME = dict.fromkeys(
    ("--ink", "--ink-soft", "--line", "--line-strong", "--table", "--series-1", "--series-2"),
    "#000000",
)
LONG = "Nordwesthanglagenparzelle"
Values = list[float | str | None]
DATE, LOG, NAMES = ({"type": kind} for kind in ("date", "log", "category"))
ODD: dict[str, tuple[Values, Values, Figure, Figure]] = {
    "none": ([], [], {}, {}),
    "one": ([1.0], [2.0], {}, {}),
    "nothing known": ([None], [None], {}, {}),
    "no numbers": ([1.0, 2.0], [float("nan"), float("inf")], {}, {}),
    "all alike": ([3.0] * 5, [7.0] * 5, {}, {}),
    "hardly apart": ([1.0, 2.0], [1.0, 1.0 + 1e-7], {}, {}),
    "a little apart": ([1.0, 2.0], [1.0, 1.0 + 3e-6], {}, {}),
    "negative": ([-5, -1.0], [-100, -3.0], {}, {}),
    "large": ([1e6, 3.3e6], [1e12, 9e15], {}, {}),
    "large and close": ([1.0, 2.0], [4e7, 4e7 + 100], {}, {}),
    "small": ([1e-6, 2e-6], [1e-9, 3e-9], {}, {}),
    "around nothing": ([-0.0, 0.0], [-1e-12, 1e-12], {}, {}),
    "huge": ([1e300, -1e300], [1e-300, 1.0], {}, {}),
    "years": (["2010-01-03", "2026-11-20"], [1.0, 2.0], DATE, {}),
    "the calendar": (["0001-01-01", "9999-12-31"], [1.0, 2.0], DATE, {}),
    "one day": (["2026-11-20"], [1.0], DATE, {}),
    "five minutes": (["2026-01-03 07:00", "2026-01-03 07:05"], [1.0, 2.0], DATE, {}),
    "powers": ([1.0, 1e6], [1e-6, 1e6], LOG, LOG),
    "one power": ([5.0], [5.0], LOG, LOG),
    "powers hardly apart": ([1.0, 2.0], [1.0, 1.0 + 1e-8], {}, LOG),
    "no powers": ([1.0, 2.0], [-5.0, 0.0], {}, LOG),
    "names": ([LONG * 3, f"{LONG} " * 5, "c"], [1.0, 2.0, 3.0], NAMES, {}),
    "one name": ([LONG * 9], [1.0], NAMES, {}),
    "upright names": ([1.0, 2.0], [LONG * 3, f"{LONG} " * 5], {}, NAMES),
    "a stray": ([float(n) for n in range(20)], [*[1.0] * 19, 1e6], {}, {}),
}


@pytest.mark.parametrize("wide", [330, 640])
@pytest.mark.parametrize("name", ODD)
def test_odd_values_are_drawn_and_can_be_read(name: str, wide: int) -> None:
    xs, ys, x_axis, y_axis = ODD[name]
    layout = {"xaxis": axis("x", **x_axis), "yaxis": axis("y", **y_axis)}
    made = settled({"data": [scatter("markers", xs, ys)], "layout": layout}, Signs(), wide)
    svg = alone(made, "title", THEME, width=wide)
    minidom.parseString(svg)  # noqa: S318  our own
    assert not re.search(r'="[^"]*(nan|inf|\de[+-]?\d)[^"]*"', svg)
    for way in ("xaxis", "yaxis"):
        done = made["layout"][way]
        low, high = done["range"]
        assert low < high
        said = [text for text in done["ticktext"] if text]
        assert said
        assert len(set(said)) == len(said), said
    below = made["layout"]["xaxis"]
    room = wide - made["layout"]["margin"]["l"] - made["layout"]["margin"]["r"]
    low, high = coordinates(below, below["range"]) if below["type"] == "date" else below["range"]
    words = [
        (at, text) for at, text in zip(coordinates(below, below["tickvals"]), below["ticktext"],
                                       strict=True) if text and at is not None
    ]  # fmt: skip
    for (a, one), (b, other) in pairwise(words):
        assert (b - a) / (high - low) * room >= (width(one) + width(other)) / 2


def test_numbers_of_one_axis_are_told_apart_however_small_its_steps() -> None:
    signs = Signs()
    assert [signs.number(value, 1e-6) for value in (1.0, 1.000001)] == ["1", "1.000001"]
    assert signs.number(1.2e-6, 2e-7) == "1.2e−6"
    assert signs.number(4.00002e7, 20) == "4.00002e7"
    assert signs.number(2e12, 1e12) == "2e12"


def test_a_long_name_in_the_legend_stays_within_the_picture() -> None:
    both = [scatter("markers", [1.0], [n], name=f"{LONG * 5} & {n}") for n in (1.0, 2.0)]
    made = settled({"data": both, "layout": {"xaxis": axis("x"), "yaxis": axis("y")}})
    svg = alone(made, "title", THEME)
    said = re.findall(rf">({LONG}[^<]*)</text>", svg)
    assert len(said) == 2
    assert all(text.endswith("…") and width(text) < 330 for text in said)
    assert [trace["name"] for trace in made["data"]] == [
        f"{LONG * 5} &amp; {n}" for n in (1.0, 2.0)
    ]


def test_what_the_app_says_itself_in_a_legend_is_not_cut() -> None:
    said = "where chance stays, 95 of 100"
    both = [scatter("lines", [0.0, 1.0], [n, n], name=f"{said}{n:g}") for n in (1.0, 2.0)]
    made = settled({"data": both, "layout": {"xaxis": axis("x"), "yaxis": axis("answers")}})
    assert alone(made, "title", THEME).count(said) == 2
