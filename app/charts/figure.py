"""What charts are made of, and a chart as a page shows it: with its numbers as a table."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

Figure = dict[str, Any]  # a part of a Plotly figure, as JSON has it
Triple = tuple[float, float, float]  # value, low, high
FEW_BARS = 12


@dataclass(frozen=True, slots=True)
class Chart:
    """A figure, its numbers as a table (heads of numbers end in "#"), and what they show."""

    title: str
    figure: Figure
    head: Sequence[str]
    rows: Sequence[Sequence[str | None]]
    words: str = ""


def rounded(values: Sequence[float | None], digits: int = 3) -> list[float | None]:
    return [None if value is None else round(value, digits) for value in values]


def scatter(
    mode: str, x: Sequence[float | str | None], y: Sequence[float | str | None], **more: object
) -> Figure:
    """A trace of lines, markers or both, as `mode` says."""
    return {"type": "scatter", "mode": mode, "x": list(x), "y": list(y), **more}


def axis(title: str, **more: object) -> Figure:
    return {"title": {"text": title}, **more}


def error_bar(
    values: Sequence[Triple], colour: str, *, thickness: float = 2, digits: int = 3
) -> Figure:
    """A bar from low to high around each value."""
    return {
        "type": "data",
        "symmetric": False,
        "array": rounded([high - value for value, _, high in values], digits),
        "arrayminus": rounded([value - low for value, low, _ in values], digits),
        "color": colour,
        "thickness": thickness,
        "width": 3 * thickness,
    }


def bars_of_few(values: Sequence[Triple], digits: int = 3) -> Figure:
    """Thin, light bars for the ranges of few values: among many they only clutter, and the table
    has the ranges."""
    if len(values) > FEW_BARS:
        return {}
    return {"error_y": error_bar(values, "var(--line-strong)", thickness=1, digits=digits)}


def upright(
    x: float | str, *, colour: str = "var(--ink-soft)", width: float = 1.5, dash: str = "dot"
) -> Figure:
    """A vertical line over the whole height of the chart: a shape of the layout."""
    line = {"color": colour, "width": width, "dash": dash}
    return {"type": "line", "x0": x, "x1": x, "yref": "paper", "y0": 0, "y1": 1, "line": line}


def note(text: str, **place: float | str) -> Figure:
    """A text at a place: an annotation of the layout."""
    font = {"color": "var(--ink-soft)", "size": 12}
    return {"text": text, "showarrow": False, "font": font, **place}
