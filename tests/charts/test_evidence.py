"""The charts of blind tests hold the numbers given, and Plotly itself accepts them."""

from __future__ import annotations

import pytest
from plotly.graph_objects import Figure

from app.charts.evidence import Boundary, evidence_path, funnel, power


def test_power_is_drawn_against_size_with_the_size_that_matters() -> None:
    made = power([0, 20, 40], [4.2, 30, 74], matters_pct=40, x_title="perceived, %")
    figure = Figure(made)
    assert list(figure.data[0].x) == [0, 20, 40]
    assert list(figure.data[0].y) == [4.2, 30, 74]
    assert figure.layout.shapes[0].x0 == figure.layout.annotations[0].x == 40
    assert figure.layout.xaxis.title.text == "perceived, %"


def test_evidence_starts_at_one_and_has_its_lines() -> None:
    made = evidence_path([2, 4.3333], what="difference", shown_at=20, close=[0.8, 0.5], close_at=10)
    figure = Figure(made)
    assert [list(trace.y) for trace in figure.data] == [[1, 2, 4.333], [1, 0.8, 0.5]]
    assert [shape.y0 for shape in figure.layout.shapes] == [20, 10]
    assert [note.text for note in figure.layout.annotations] == [
        "difference at 20",
        "close enough at 10",
    ]
    assert figure.layout.yaxis.type == "log"


def test_evidence_beyond_all_measure_stays_on_the_chart() -> None:
    (path,) = evidence_path([1e-9, 1e9], what="preference", shown_at=20)["data"]
    assert path["y"] == [1, 0.01, 10_000]


@pytest.mark.parametrize(
    "lines", [[], [Boundary("up", [None, None, 2]), Boundary("down", [None, 0, 0])]]
)
def test_counts_stand_over_the_band_of_chance(lines: list[Boundary]) -> None:
    made = funnel([0, 1], [0, 0, 0], [0, 1, 2], lines, y_title="right answers")
    figure = Figure(made)
    assert len(figure.data) == 3 + len(lines)
    assert list(figure.data[-1].y) == [0, 1]
    assert figure.data[1].fill == "tonexty"
    assert [trace.name for trace in figure.data[2:-1]] == [line.name for line in lines]
    assert {trace.type for trace in figure.data} == {"scatter"}
