"""Values over days or uses: points with their ranges, a straight trend, a smooth guide."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.charts.figure import Figure, axis, error_bar, rounded, scatter

SHAPES = (
    {"symbol": "circle", "color": "var(--series-1)", "size": 9},
    {"symbol": "diamond-open", "color": "var(--series-2)", "size": 11, "line": {"width": 2.5}},
)
FEW_STEPS = 12


@dataclass(frozen=True)
class TrendLine:
    """From one end (x, y) to the other; `clear` where its direction is beyond chance."""

    ends: tuple[tuple[float, float], tuple[float, float]]
    clear: bool
    guide: Sequence[tuple[float, float]] = ()


@dataclass(frozen=True)
class Points:
    """One kind of point. `low` and `high`, when given, are the ends of each value's range."""

    name: str
    x: Sequence[float]
    y: Sequence[float]
    low: Sequence[float] = ()
    high: Sequence[float] = ()
    line: TrendLine | None = None


def trend_chart(
    kinds: Sequence[Points],
    *,
    x_title: str,
    y_title: str,
    y_range: tuple[float, float] | None = None,
) -> Figure:
    """Up to two kinds of points, told apart by shape as well as colour, each with its trend.

    A trend without a clear direction is dashed; the guide is a thin dotted line.
    """
    data: list[Figure] = []
    for place, kind in enumerate(kinds):
        if kind.x:
            data.append(_points(kind, place, named=len(kinds) > 1))
        if kind.x and kind.line:
            data += _lines(kind.line, kind.name if len(kinds) > 1 else "", place)
    y_axis = axis(y_title) if y_range is None else axis(y_title, range=list(y_range))
    return {"data": data, "layout": {"xaxis": _x_axis(x_title, kinds), "yaxis": y_axis}}


def _points(kind: Points, place: int, *, named: bool) -> Figure:
    trace = scatter("markers", kind.x, rounded(kind.y, 4), name=kind.name, marker=SHAPES[place])
    trace |= {"opacity": 0.8, "showlegend": named, "cliponaxis": False}
    if kind.low:
        triples = list(zip(kind.y, kind.low, kind.high, strict=True))
        colour = str(SHAPES[place]["color"])
        trace["error_y"] = error_bar(triples, colour, thickness=1, digits=4)
    return trace


def _lines(line: TrendLine, of: str, place: int) -> list[Figure]:
    name, dash = ("trend", "solid") if line.clear else ("unclear trend", "dash")
    colour = str(SHAPES[place]["color"]) if of else "var(--ink)"
    drawn = [
        (line.ends, name, {"color": colour, "width": 2, "dash": dash}),
        (line.guide, "guide", {"color": "var(--ink-soft)", "width": 1.5, "dash": "dot"}),
    ]
    return [
        scatter(
            "lines",
            [x for x, _ in ends],
            rounded([y for _, y in ends], 4),
            name=f"{called}, {of}" if of else called,
            line=style,
            hoverinfo="skip",
            showlegend=called != "guide",  # a phone has no room for more
        )
        for ends, called, style in drawn
        if ends
    ]


def _x_axis(title: str, kinds: Sequence[Points]) -> Figure:
    """A mark for each step where there are few."""
    xs = [x for kind in kinds for x in kind.x]
    if not xs or max(xs) - min(xs) >= FEW_STEPS:
        return axis(title)
    return axis(title, dtick=1, range=[min(xs) - 0.5, max(xs) + 0.5])
