"""How something moved over a bag's days: points with their ranges, a straight trend, a guide."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.charts.figure import Figure, axis, error_bar, rounded, scatter

SHAPES = (
    {"symbol": "circle", "color": "var(--series-1)", "size": 9},
    {"symbol": "diamond-open", "color": "var(--series-2)", "size": 11, "line": {"width": 2.5}},
)


@dataclass(frozen=True)
class Points:
    """One kind of point. `low` and `high`, when given, are the ends of each value's range."""

    name: str
    x: Sequence[float]
    y: Sequence[float]
    low: Sequence[float] = ()
    high: Sequence[float] = ()


@dataclass(frozen=True)
class TrendLine:
    """y = intercept + slope x; `clear` when its range leaves out a level line."""

    intercept: float
    slope: float
    clear: bool


def bag_trend(
    kinds: Sequence[Points],
    *,
    x_title: str,
    y_title: str,
    line: TrendLine | None = None,
    guide: Sequence[tuple[float, float]] = (),
    y_range: tuple[float, float] | None = None,
) -> Figure:
    """Up to two kinds of points over days, told apart by shape as well as colour.

    A trend without a clear direction is dashed; the guide is a thin dotted line.
    """
    drawn = [kind for kind in kinds if kind.x]
    data = [_points(kind, kinds.index(kind), named=len(kinds) > 1) for kind in drawn]
    days = [day for kind in drawn for day in kind.x]
    if guide:
        x, y = [day for day, _ in guide], rounded([value for _, value in guide], 4)
        dotted = {"color": "var(--ink-soft)", "width": 1.5, "dash": "dot"}
        data.append(scatter("lines", x, y, name="guide", line=dotted, hoverinfo="skip"))
    if line is not None and days:
        data.append(_line(line, min(days), max(days)))
    y_axis = axis(y_title) if y_range is None else axis(y_title, range=list(y_range))
    return {"data": data, "layout": {"xaxis": axis(x_title), "yaxis": y_axis}}


def _points(kind: Points, place: int, *, named: bool) -> Figure:
    trace = scatter("markers", kind.x, rounded(kind.y, 4), name=kind.name, marker=SHAPES[place])
    trace |= {"opacity": 0.8, "showlegend": named, "cliponaxis": False}
    if kind.low:
        triples = list(zip(kind.y, kind.low, kind.high, strict=True))
        colour = str(SHAPES[place]["color"])
        trace["error_y"] = error_bar(triples, colour, thickness=1, digits=4)
    return trace


def _line(line: TrendLine, first: float, last: float) -> Figure:
    x = (first, last)
    y = rounded([line.intercept + line.slope * day for day in x], 4)
    name, dash = ("trend", "solid") if line.clear else ("unclear trend", "dash")
    drawn = {"color": "var(--ink)", "width": 2, "dash": dash}
    return scatter("lines", x, y, name=name, line=drawn, hoverinfo="skip")
