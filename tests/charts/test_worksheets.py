"""The worksheets' charts hold the numbers given, and Plotly itself accepts them."""

from __future__ import annotations

import pytest
from plotly.graph_objects import Figure

from app.charts.curves import caffeine_day, ice_time, steep_time
from app.charts.figure import Triple
from app.charts.predicted_measured import predicted_measured

TRIPLES = [(0.0, 0.0, 0.0), (18.123, 16.0, 20.0), (21.0, 19.0, 24.0)]


def test_ice_shows_strength_over_temperature_and_when_the_ice_is_gone() -> None:
    figure = Figure(
        ice_time([0, 10, 20], [1.0, 0.91234, 0.9], [0, 0, 3.14], gone_after=10, degrees="°F")
    )
    strength, temperature = figure.data
    assert tuple(strength.y) == (1.0, 0.912, 0.9)
    assert tuple(temperature.y) == (0, 0, 3.1)
    assert (strength.yaxis, temperature.yaxis) == ("y", "y2")
    assert figure.layout.yaxis2.title.text == "°F"
    assert figure.layout.shapes[0].x0 == 10
    assert figure.layout.annotations[0].text == "ice gone"
    low, high = figure.layout.yaxis.range
    assert low <= 0.9
    assert high - low >= 0.25


def test_a_drink_without_ice_marks_nothing() -> None:
    figure = Figure(ice_time([0, 10], [1.0, 1.0], [5, 8], gone_after=None))
    assert not figure.layout.shapes


def test_the_steep_curve_lies_in_its_band_with_brews_on_top() -> None:
    figure = Figure(
        steep_time([0, 2, 4], TRIPLES, [(2.5, (20.0, 19.5, 20.5))], [(2, "2:00"), (4, "4:00")])
    )
    high, low, curve, brews = figure.data
    assert low.fill == "tonexty"
    assert tuple(high.y) == (0.0, 20.0, 24.0)
    assert tuple(low.y) == (0.0, 16.0, 19.0)
    assert tuple(curve.y) == (0.0, 18.12, 21.0)
    assert tuple(brews.x) == (2.5,)
    assert tuple(brews.error_y.array) == (0.5,)
    assert [words.text for words in figure.layout.annotations] == ["2:00", "4:00"]
    assert len(Figure(steep_time([0, 2, 4], TRIPLES, [], [(2, "2:00")])).data) == 3


def test_caffeine_is_drawn_by_the_clock() -> None:
    times = ["2026-09-15 07:00", "2026-09-15 12:00", "2026-09-15 17:00"]
    figure = Figure(caffeine_day(times, TRIPLES, times[1], times[:1]))
    assert figure.layout.xaxis.type == "date"
    assert figure.layout.shapes[0].x0 == times[1]
    *_, curve, cups = figure.data
    assert tuple(curve.x) == tuple(times)
    assert tuple(cups.x) == (times[0],)


@pytest.mark.parametrize("measured", [[], [1.2], [1.2, 1.2], [1.1, 1.4]])
def test_predicted_against_measured_shares_one_line(measured: list[float]) -> None:
    guesses = [(value + 0.05, value - 0.1, value + 0.2) for value in measured]
    figure = Figure(predicted_measured(measured, guesses, guesses))
    line, plain, learned = figure.data
    assert tuple(line.x) == tuple(line.y)
    assert line.x[0] < line.x[1]
    assert tuple(plain.x) == tuple(learned.x) == tuple(measured)
    assert all(line.x[0] <= value <= line.x[1] for value in (*plain.x, *plain.y))


def test_strays_flatten_neither_the_curve_nor_the_predictions() -> None:
    curve: list[Triple] = [(18.0, 16.0, 20.0)] * 9
    brews: list[tuple[float, Triple]] = [(2 + n / 9, (17 + n / 9, 16, 19)) for n in range(12)]
    steep = steep_time(range(9), curve, [*brews, (3.0, (64.0, 60, 68))], [])["layout"]
    low, high = steep["yaxis"]["range"]
    assert low == 0
    assert 20 < high < 22
    assert steep["annotations"][-1]["text"] == "1 lies above this chart"
    alike = [1.2 + n / 90 for n in range(12)]
    around: list[Triple] = [(pct + 0.02, pct - 0.1, pct + 0.1) for pct in [*alike, 3.0]]
    made = predicted_measured([*alike, 3.0], around, around)
    assert made["layout"]["xaxis"]["range"] == made["layout"]["yaxis"]["range"]
    assert made["layout"]["xaxis"]["range"][1] < 1.5
    assert made["layout"]["annotations"][0]["text"] == "1 lies above this chart"
    Figure(made)
