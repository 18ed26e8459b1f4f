"""Values over days or uses: points with their ranges, a straight trend, a smooth guide."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.charts.figure import FEW_BARS, Figure, axis, bars_of_few, rounded, scatter
from app.charts.in_view import View, in_view, told

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

    A trend whose direction may be chance is dashed; the smoothed values are a thin dotted line.
    Without a `y_range`, strays do not flatten the rest.
    """
    drawn = [(place, kind) for place, kind in enumerate(kinds) if kind.x]
    several = len(drawn) > 1
    data = [_points(kind, place, named=several) for place, kind in drawn]
    for place, kind in drawn:
        data += _lines(kind.line, place, of_more=several) if kind.line else []
    _name_once(data)
    layout: Figure = {"xaxis": _x_axis(x_title, kinds), "yaxis": axis(y_title)}
    if y_range is not None:
        layout["yaxis"]["range"] = list(y_range)
    elif view := _view(kinds):
        layout["yaxis"]["range"] = view.range
        layout["annotations"] = [told(view)]
    return {"data": data, "layout": layout}


def _view(kinds: Sequence[Points]) -> View | None:
    """Lines are kept in view whole, and ranges where they are drawn."""
    drawn = [kind for kind in kinds if kind.x]
    bars = [
        (low, high)
        for kind in drawn
        for low, high in (
            zip(kind.low, kind.high, strict=True)
            if kind.low and len(kind.low) <= FEW_BARS
            else zip(kind.y, kind.y, strict=True)
        )
    ]
    lines = [kind.line for kind in drawn if kind.line]
    kept = [y for line in lines for _, y in (*line.ends, *line.guide)]
    return in_view([y for kind in drawn for y in kind.y], bars, kept)


def _name_once(data: Sequence[Figure]) -> None:
    """The legend has each kind of line once: a phone has no room for more."""
    named: set[str] = set()
    for trace in data:
        if trace["mode"] == "lines":
            trace["showlegend"] = trace["name"] not in named
            named.add(trace["name"])


def _points(kind: Points, place: int, *, named: bool) -> Figure:
    trace = scatter("markers", kind.x, rounded(kind.y, 4), name=kind.name, marker=SHAPES[place])
    trace |= {"opacity": 0.8, "showlegend": named, "cliponaxis": False}
    if kind.low:
        trace |= bars_of_few(list(zip(kind.y, kind.low, kind.high, strict=True)), digits=4)
    return trace


def _lines(line: TrendLine, place: int, *, of_more: bool) -> list[Figure]:
    name, dash = ("trend", "solid") if line.clear else ("trend, may be chance", "dash")
    colour = str(SHAPES[place]["color"]) if of_more else "var(--ink)"
    drawn = [
        (line.ends, name, {"color": colour, "width": 2, "dash": dash}),
        (line.guide, "smoothed", {"color": "var(--ink-soft)", "width": 1.5, "dash": "dot"}),
    ]
    return [
        scatter(
            "lines",
            [x for x, _ in ends],
            rounded([y for _, y in ends], 4),
            name=called,
            line=style,
            hoverinfo="skip",
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
