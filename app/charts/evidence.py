"""Charts of a blind test: evidence over its trials, and counts over what chance gives."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log10

from app.charts.figure import Figure, note

LEAST_SHOWN = 0.01
MOST_SHOWN = 10_000.0


@dataclass(frozen=True)
class Boundary:
    """A line to cross: its name, and the count needed at each trial, None where none is enough."""

    name: str
    values: Sequence[float | None]


def evidence_path(
    evidence: Sequence[float],
    *,
    what: str,
    shown_at: float,
    close: Sequence[float] = (),
    close_at: float | None = None,
) -> Figure:
    """Evidence for `what` after each trial, on a log scale, and the level `shown_at` to reach.

    `close` is the evidence for close enough, with the level `close_at`. Both start at 1 before any
    trial.
    """
    trials = len(evidence)
    data = [_path(f"for a {what}", evidence, "solid", "circle")]
    shapes = [_level(shown_at, "solid")]
    notes = [_name_of(shown_at, f"{what} at {shown_at:g}")]
    if close_at is not None:
        data.append(_path("for close enough", close, "dot", "diamond-open"))
        shapes.append(_level(close_at, "dot"))
        notes.append(_name_of(close_at, f"close enough at {close_at:g}", below=True))
    return {
        "data": data,
        "layout": {
            "xaxis": {"title": {"text": "trials counted"}, "range": [0, max(trials, 5) + 0.5]},
            "yaxis": {
                "title": {"text": "evidence so far"},
                "type": "log",
                "tickvals": [0.01, 0.1, 1, 10, 100, 1000, 10_000],
                "ticktext": ["0.01", "0.1", "1", "10", "100", "1000", "10000"],
            },
            "shapes": shapes,
            "annotations": notes,
        },
    }


def funnel(
    counts: Sequence[int],
    low: Sequence[float],
    high: Sequence[float],
    lines: Sequence[Boundary],
    *,
    y_title: str,
) -> Figure:
    """Counts from 0 trials on, over the band that chance stays in, with the lines to cross.

    The band and the lines may run on past the last trial.
    """
    path = {
        "type": "scatter",
        "mode": "lines+markers",
        "name": "counted",
        "x": list(range(len(counts))),
        "y": list(counts),
        "line": {"color": "var(--ink)", "width": 2},
        "marker": {"symbol": "circle", "size": 6, "color": "var(--ink)"},
        "cliponaxis": False,
    }
    drawn = [_boundary(line, dash) for line, dash in zip(lines, ("dash", "dot"), strict=False)]
    return {
        "data": [*_band(low, high), *drawn, path],
        "layout": {
            "xaxis": {"title": {"text": "trials counted"}, "rangemode": "tozero"},
            "yaxis": {"title": {"text": y_title}, "rangemode": "tozero"},
        },
    }


def _band(low: Sequence[float], high: Sequence[float]) -> list[Figure]:
    bottom = {
        "type": "scatter",
        "mode": "lines",
        "x": list(range(len(low))),
        "y": list(low),
        "line": {"width": 0},
        "hoverinfo": "skip",
        "showlegend": False,
    }
    top = {
        "y": list(high),
        "name": "where chance stays, 95 of 100",
        "fill": "tonexty",
        "fillcolor": "var(--line)",
        "showlegend": True,
    }
    return [bottom, bottom | top]


def _path(name: str, evidence: Sequence[float], dash: str, symbol: str) -> Figure:
    shown = [1.0, *(min(max(value, LEAST_SHOWN), MOST_SHOWN) for value in evidence)]
    return {
        "type": "scatter",
        "mode": "lines+markers",
        "name": name,
        "x": list(range(len(shown))),
        "y": [float(f"{value:.4g}") for value in shown],
        "line": {"color": "var(--ink)", "width": 2, "dash": dash},
        "marker": {"symbol": symbol, "size": 7, "color": "var(--ink)"},
        "cliponaxis": False,
    }


def _boundary(line: Boundary, dash: str) -> Figure:
    return {
        "type": "scatter",
        "mode": "lines",
        "name": line.name,
        "x": list(range(len(line.values))),
        "y": list(line.values),
        "line": {"color": "var(--ink-soft)", "width": 1.5, "dash": dash, "shape": "hv"},
        "connectgaps": False,
    }


def _level(value: float, dash: str) -> Figure:
    return {
        "type": "line",
        "xref": "paper",
        "x0": 0,
        "x1": 1,
        "y0": value,
        "y1": value,
        "line": {"color": "var(--ink-soft)", "width": 1.5, "dash": dash},
    }


def _name_of(value: float, text: str, *, below: bool = False) -> Figure:
    exponent, anchor = log10(value), "top" if below else "bottom"  # a log axis counts in powers
    return note(text, xref="paper", x=0.01, xanchor="left", y=exponent, yanchor=anchor)
