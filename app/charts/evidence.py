"""Charts of a blind test: its power, evidence over its trials, and counts over chance."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log10

from app.charts.figure import Figure, axis, note, rounded, scatter, upright

LEAST_SHOWN = 0.01
MOST_SHOWN = 10_000.0
DASHES = ("dash", "dot", "dashdot", "longdash")


@dataclass(frozen=True)
class Boundary:
    """A line to cross: its name, and the count needed at each trial, None where none is enough."""

    name: str
    values: Sequence[float | None]


def power(
    sizes_pct: Sequence[float], shown_pct: Sequence[float], *, matters_pct: float, x_title: str
) -> Figure:
    """Share of tests (%) that show a difference, against its size (%); one size is marked."""
    curve = scatter(
        "lines+markers", rounded(sizes_pct, 2), rounded(shown_pct, 2), showlegend=False, **_ink(5)
    )
    words = note("size that matters", x=matters_pct, y=1.0, yref="paper", yanchor="bottom")
    return {
        "data": [curve],
        "layout": {
            "xaxis": axis(x_title, range=[-2, 102]),
            "yaxis": axis("shown in so many tests of 100", range=[-3, 103]),
            "shapes": [upright(matters_pct, dash="dash")],
            "annotations": [words],
            "margin": {"l": 48, "r": 16, "t": 28, "b": 48},
        },
    }


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
            "xaxis": axis("trials counted", range=[0, max(trials, 5) + 0.5]),
            "yaxis": axis(
                "evidence so far",
                type="log",
                tickvals=[0.01, 0.1, 1, 10, 100, 1000, 10_000],
                ticktext=["0.01", "0.1", "1", "10", "100", "1000", "10000"],
            ),
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
    path = scatter(
        "lines+markers", range(len(counts)), counts, name="counted", cliponaxis=False, **_ink(6)
    )
    steps = [_boundary(line, dash) for line, dash in zip(lines, DASHES, strict=False)]
    edge: Figure = {"line": {"width": 0}, "hoverinfo": "skip"}
    bottom = scatter("lines", range(len(low)), low, showlegend=False, **edge)
    filled: Figure = {"fill": "tonexty", "fillcolor": "var(--line)", "showlegend": True, **edge}
    top = scatter("lines", range(len(low)), high, name="where chance stays, 95 of 100", **filled)
    return {
        "data": [bottom, top, *steps, path],
        "layout": {
            "xaxis": axis("trials counted", rangemode="tozero"),
            "yaxis": axis(y_title, rangemode="tozero"),
        },
    }


def _boundary(boundary: Boundary, dash: str) -> Figure:
    x, y = range(len(boundary.values)), boundary.values
    line = {"color": "var(--ink-soft)", "width": 1.5, "dash": dash, "shape": "hv"}
    return scatter("lines", x, y, name=boundary.name, line=line, connectgaps=False)


def _ink(size: int, symbol: str = "circle", **line: str) -> Figure:
    """A line with points, both in ink."""
    marker = {"symbol": symbol, "size": size, "color": "var(--ink)"}
    return {"line": {"color": "var(--ink)", "width": 2, **line}, "marker": marker}


def _path(name: str, evidence: Sequence[float], dash: str, symbol: str) -> Figure:
    shown = [1.0, *(min(max(value, LEAST_SHOWN), MOST_SHOWN) for value in evidence)]
    y = [float(f"{value:.4g}") for value in shown]
    drawn = _ink(7, symbol, dash=dash)
    return scatter("lines+markers", range(len(y)), y, name=name, cliponaxis=False, **drawn)


def _level(value: float, dash: str) -> Figure:
    line = {"color": "var(--ink-soft)", "width": 1.5, "dash": dash}
    ends = {"x0": 0, "x1": 1, "y0": value, "y1": value}
    return {"type": "line", "xref": "paper", **ends, "line": line}


def _name_of(value: float, text: str, *, below: bool = False) -> Figure:
    exponent, anchor = log10(value), "top" if below else "bottom"  # a log axis counts in powers
    return note(text, xref="paper", x=0.01, xanchor="left", y=exponent, yanchor=anchor)
