"""The published chart with two cups on it, and Plotly itself accepts it."""

from __future__ import annotations

import pytest
from plotly.graph_objects import Figure

from app.brewing.strength.extraction import GOLDEN_CUP_EXTRACTION_PCT, GOLDEN_CUP_TDS_PCT
from app.charts.strength_extraction import CupPoint, Region, strength_extraction

REGION = Region(GOLDEN_CUP_EXTRACTION_PCT, GOLDEN_CUP_TDS_PCT, "SCAA 2015")
A = CupPoint("A", (20.0, 18.0, 23.0), (1.2, 1.1, 1.4))
B = CupPoint("B", (16.0, 15.5, 16.5), (1.6, 1.57, 1.63))


def test_the_region_is_the_published_one() -> None:
    # SCAA Golden Cup, 23 December 2015: 1.15 to 1.35 % TDS, 18 to 22 % extraction.
    figure = Figure(strength_extraction([A, B], REGION))
    box = figure.layout.shapes[0]
    assert (box.type, box.x0, box.x1, box.y0, box.y1) == ("rect", 18, 22, 1.15, 1.35)
    assert figure.layout.annotations[0].text == "SCAA 2015"


def test_each_cup_stands_at_its_numbers_with_its_range() -> None:
    a, b = Figure(strength_extraction([A, B], REGION)).data
    assert (a.x, a.y) == ((20.0,), (1.2,))
    assert a.error_x.array[0] == pytest.approx(3.0)
    assert a.error_x.arrayminus[0] == pytest.approx(2.0)
    assert a.error_y.array[0] == pytest.approx(0.2)
    assert a.error_y.arrayminus[0] == pytest.approx(0.1)
    assert (b.text, b.x) == (("B",), (16.0,))


def test_the_cups_differ_in_letter_shape_and_filling_not_in_colour_alone() -> None:
    a, b = Figure(strength_extraction([A, B], REGION)).data
    assert (a.text, a.marker.symbol) == (("A",), "circle")
    assert (b.text, b.marker.symbol) == (("B",), "square-open")
    assert b.marker.size > a.marker.size


def test_the_axes_hold_the_region_and_every_range_and_name_their_units() -> None:
    layout = strength_extraction([A, B], REGION)["layout"]
    low, high = layout["xaxis"]["range"]
    assert low < 15.5
    assert high > 23.0
    low, high = layout["yaxis"]["range"]
    assert low < 1.1
    assert high > 1.63
    assert "%" in layout["xaxis"]["title"]["text"]
    assert "% TDS" in layout["yaxis"]["title"]["text"]


def test_one_cup_is_still_a_figure() -> None:
    assert len(Figure(strength_extraction([B], REGION)).data) == 1
