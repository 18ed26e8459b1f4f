"""Ratio, strength and liking over the days, one above the other, with cups A and B marked."""

from collections.abc import Sequence
from typing import NamedTuple

from app.charts.cups import COLOURS, cup_trace
from app.charts.figure import Figure, Triple, axis, error_bar, rounded, scatter
from app.charts.in_view import in_view, told

SHAPES = ("circle", "diamond")
SERIES_COLOURS = ("var(--series-4)", "var(--series-5)")


class Point(NamedTuple):
    """A brew: its day (year-month-day), ratio, strength (% TDS) with its range, mean liking."""

    day: str
    ratio: float
    strength_pct: Triple | None
    measured: bool
    liking: float | None


class Plot(NamedTuple):
    """One of the three: which y axis, its title, where it stands (0 is the bottom)."""

    axis: str
    title: str
    domain: tuple[float, float]


RATIO = Plot("y", "ratio, 1 : n", (0.72, 1.0))
STRENGTH = Plot("y2", "strength, % TDS", (0.36, 0.66))
LIKING = Plot("y3", "liking, 1–9", (0.0, 0.3))


def over_time(series: Sequence[tuple[str, Sequence[Point]]], cups: dict[str, Point]) -> Figure:
    """Up to two named series; strength that was measured is filled, estimated hollow.

    Only A and B have their ranges drawn, and they are in view wherever they lie.
    """
    named = len(series) > 1
    data = [
        trace
        for place, (name, points) in enumerate(series)
        for trace in _series(name, points, place, named=named)
    ]
    data += [trace for letter, point in cups.items() for trace in _cup(letter, point)]
    axes = {
        plot.axis.replace("y", "yaxis"): axis(plot.title, domain=list(plot.domain))
        for plot in (RATIO, STRENGTH, LIKING)
    }
    axes["yaxis3"] |= {"range": [0.3, 9.7], "tickvals": [1, 3, 5, 7, 9]}
    days = axis("day of the brew", type="date", anchor="y3")
    notes = _keep_in_view(axes, [p for _, points in series for p in points], list(cups.values()))
    return {"data": data, "layout": {"height": 640, "xaxis": days, "annotations": notes, **axes}}


def _keep_in_view(
    axes: dict[str, Figure], points: Sequence[Point], cups: Sequence[Point]
) -> list[Figure]:
    """Strays in ratio or strength flatten no plot: its axis gets a range, and a note above it."""
    strengths = [point.strength_pct for point in points if point.strength_pct is not None]
    marked = [end for cup in cups if cup.strength_pct is not None for end in cup.strength_pct]
    notes = []
    for plot, values, kept in (
        (RATIO, [point.ratio for point in points], [cup.ratio for cup in cups]),
        (STRENGTH, [best for best, *_ in strengths], marked),
    ):
        if view := in_view(values, kept=kept):
            axes[plot.axis.replace("y", "yaxis")]["range"] = view.range
            notes.append(told(view, top=plot.domain[1]))
    return notes


def _series(name: str, points: Sequence[Point], place: int, *, named: bool) -> list[Figure]:
    shape, colour = SHAPES[place], SERIES_COLOURS[place]
    known = [point for point in points if point.strength_pct is not None]
    scored = [point for point in points if point.liking is not None]
    traces = [
        _dots(points, [point.ratio for point in points], RATIO, shape, colour),
        _strengths([point for point in known if not point.measured], f"{shape}-open", colour),
        _strengths([point for point in known if point.measured], shape, colour),
        _dots(scored, [point.liking for point in scored], LIKING, shape, colour),
    ]
    traces[0] |= {"name": name, "showlegend": named}
    return [trace for trace in traces if trace["x"]]


def _strengths(points: Sequence[Point], shape: str, colour: str) -> Figure:
    best = [point.strength_pct[0] for point in points if point.strength_pct is not None]
    return _dots(points, best, STRENGTH, shape, colour)


def _dots(
    points: Sequence[Point], y: Sequence[float | None], plot: Plot, shape: str, colour: str
) -> Figure:
    marker = {"symbol": shape, "color": colour, "size": 7}
    drawn = scatter("markers", [point.day for point in points], rounded(y), marker=marker)
    return drawn | {"yaxis": plot.axis, "showlegend": False, "cliponaxis": False}


def _cup(letter: str, point: Point) -> list[Figure]:
    strength = None if point.strength_pct is None else point.strength_pct[0]
    traces = [
        cup_trace(letter, [point.day], rounded([value])) | {"yaxis": plot.axis}
        for value, plot in ((point.ratio, RATIO), (strength, STRENGTH), (point.liking, LIKING))
        if value is not None
    ]
    if point.strength_pct is not None:
        traces[1]["error_y"] = error_bar([point.strength_pct], COLOURS[letter], thickness=1.5)
    return traces
