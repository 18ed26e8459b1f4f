"""From where to where an axis reaches, when the figure does not say."""

from collections.abc import Iterator
from math import floor, log10

from app.charts.figure import Figure
from app.charts.still.days import an_hour, half_a_day
from app.charts.still.values import axis_of, bar_ends, coordinates, ends, noted, pairs, written

SAME = 1e-6  # of a value: what is no further apart
ROOM = 0.05  # of the axis, beyond the first and the last value
EMPTY = (0.0, 1.0)


def span(figure: Figure, ref: str) -> list[float | str]:
    """The range of the axis that traces call `ref`, as Plotly takes it."""
    axis = axis_of(figure["layout"], ref)
    if axis["type"] == "category":
        return [-0.5, max(len(axis["categoryarray"]), 1) - 0.5]
    held = list(_held(figure, ref))
    if axis["type"] == "date" and not held:
        axis["tickvals"] = []  # no day stands for none
    low, high = _whole(axis, held, _padded(figure, ref))
    return [written(low), written(high)] if axis["type"] == "date" else [low, high]


def _whole(axis: Figure, held: list[float], padded: bool) -> tuple[float, float]:
    """The range in coordinates, with room beside the values."""
    if axis["type"] == "date":
        low, high = (min(held), max(held)) if held else (0.0, 0.0)
        return an_hour(low, high) if "tickformat" in axis else half_a_day(low, high)
    low, high = (min(held), max(held)) if held else EMPTY
    if axis.get("rangemode") == "tozero":
        low, high = min(low, 0.0), max(high, 0.0)
    spare = (high - low) * ROOM if padded else 0.0
    spare = _alike(axis, low, high) or spare
    to_zero = axis.get("rangemode") == "tozero"
    return (
        0.0 if to_zero and low == 0 else _short(low - spare, high - low),
        0.0 if to_zero and low < high == 0 else _short(high + spare, high - low),
    )


def _alike(axis: Figure, low: float, high: float) -> float:
    """What goes beside values that are all the same, or differ by less than can be written."""
    one = 1.0 if axis["type"] == "log" else 0.0  # powers of ten: a share of the value itself
    if high - low > SAME * max(abs(low), abs(high), one):
        return 0.0
    return 0.5 if axis["type"] == "log" else abs(low) * 0.1 or 1.0


def widened(axis: Figure) -> list[float | str]:
    """The range that a figure gives, which may be of one value only."""
    low, high = ends(axis)
    if axis["type"] == "date":
        return [written(end) for end in (half_a_day(low, high) if low == high else (low, high))]
    spare = _alike(axis, low, high)
    return [low - spare, high + spare] if spare else list(axis["range"])


def _short(value: float, whole: float) -> float:
    """Seven figures, or as many more as a short axis far from zero needs."""
    more = floor(log10(abs(value) / whole)) if value and whole else 0
    return float(f"{value:.{7 + max(0, more)}g}")


def _padded(figure: Figure, ref: str) -> bool:
    """Curves may run from side to side; points, and whatever goes up and down, take room."""
    if ref[0] == "y":
        return True
    return any("markers" in trace["mode"] for trace in figure["data"])


def _held(figure: Figure, ref: str) -> Iterator[float]:
    """Every coordinate that has to be on the axis: points, their ranges, and what is marked."""
    layout = figure["layout"]
    axis, way = axis_of(layout, ref), ref[0]
    for trace in figure["data"]:
        if way == "x" or trace.get("yaxis", "y") == ref:
            yield from (point["xy".index(way)] for point in pairs(trace, layout) if point)
            if bar := trace.get(f"error_{way}"):
                yield from (end for two in bar_ends(bar, trace[way], axis) if two for end in two)
    for shape in layout["shapes"]:
        if shape[f"{way}ref"] == ref:
            both = coordinates(axis, (shape[f"{way}0"], shape[f"{way}1"]))
            yield from (end for end in both if end is not None)
    for note in layout["annotations"]:
        if note[f"{way}ref"] == ref and (at := noted(axis, note[way])) is not None:
            yield at
