"""What the values of a figure are on its axes, as numbers: linear, log, date or category."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from functools import lru_cache
from math import isfinite, log10

from app.charts.figure import Figure

EPOCH = datetime(1970, 1, 1)  # noqa: DTZ001  wall time: a chart shows the days its reader lived
DAY = 86_400.0
FIRST, LAST = -62_135_596_800, 253_402_300_799  # the first and the last second of the calendar


def coordinate(axis: Figure, value: object) -> float | None:
    """Where a value lies on a settled axis: itself, its power of ten, its second or its place."""
    if value is None:
        return None
    kind = axis["type"]
    if kind == "category":
        return _place(axis, value)
    if kind == "date":
        return seconds(value)
    if isinstance(value, str):
        return None
    number = float(value)  # type: ignore[arg-type]
    if kind == "log":
        number = log10(number) if number > 0 else float("nan")
    return number if isfinite(number) else None


def noted(axis: Figure, value: float | str) -> float | None:
    """Where a note lies: on a log axis it is given by its power of ten."""
    return seconds(value) if axis["type"] == "date" else float(value)


def coordinates(axis: Figure, values: Iterable[object]) -> list[float | None]:
    return [coordinate(axis, value) for value in values]


def _place(axis: Figure, value: object) -> float | None:
    """A category's place, counted from 0; a number is a place already."""
    if not isinstance(value, str):
        return float(value)  # type: ignore[arg-type]
    names = axis["categoryarray"]
    return float(names.index(value)) if value in names else None


@lru_cache(4096)
def seconds(value: object) -> float | None:
    """Of a wall time such as 2026-03-05 or 2026-03-05 07:30."""
    try:
        return (datetime.fromisoformat(str(value)) - EPOCH).total_seconds()
    except (ValueError, TypeError):
        return None


def wall(second: float) -> datetime:
    return EPOCH + timedelta(seconds=min(max(round(second), FIRST), LAST))


def written(second: float) -> str:
    """As Plotly reads a time."""
    return wall(second).isoformat(sep=" ")


def place(axis: Figure, at: float) -> float:
    """How far along its axis a coordinate lies, from 0 to 1; outside, less or more."""
    low, high = ends(axis)
    return (at - low) / (high - low)


def ends(axis: Figure) -> tuple[float, float]:
    """The range of a settled axis, in coordinates."""
    low, high = axis["range"]
    if axis["type"] == "date":
        return seconds(low) or 0.0, seconds(high) or DAY
    return float(low), float(high)  # a log axis has its range in powers of ten


def axis_of(layout: Mapping[str, Figure], ref: str) -> Figure:
    """The axis that a trace, shape or note calls x, y, y2."""
    return layout[f"{ref[0]}axis{ref[1:]}"]


def pairs(trace: Figure, layout: Mapping[str, Figure]) -> list[tuple[float, float] | None]:
    """Each point of a trace in coordinates, None where it has none."""
    xs = coordinates(axis_of(layout, "x"), trace["x"])
    ys = coordinates(axis_of(layout, trace.get("yaxis", "y")), trace["y"])
    return [None if x is None or y is None else (x, y) for x, y in zip(xs, ys, strict=False)]


def bar_ends(
    bar: Figure, values: Sequence[object], axis: Figure
) -> list[tuple[float, float] | None]:
    """Both ends of each error bar in coordinates, None where it has none."""
    up: Sequence[float | None] = bar["array"]
    found: list[tuple[float, float] | None] = []
    for value, more, less in zip(values, up, bar.get("arrayminus", up), strict=False):
        if isinstance(value, int | float) and more is not None and less is not None:
            low, high = coordinate(axis, value - less), coordinate(axis, value + more)
            found.append(None if low is None or high is None else (low, high))
        else:
            found.append(None)
    return found
