"""Caffeine left in the body through one day, with its range."""

from collections.abc import Sequence

from app.charts.bands import band_and_curve, mark
from app.charts.figure import Figure, Triple


def caffeine_day(
    times: Sequence[str], left_mg: Sequence[Triple], now: str, cups: Sequence[str]
) -> Figure:
    """The caffeine left at `times`; cups are marked on the axis.

    `times`, `now` and `cups` are wall times such as 2026-03-05 07:30.
    """
    shape, words = mark(now, "now")
    marks: Figure = {
        "type": "scatter",
        "mode": "markers",
        "name": "a cup",
        "x": list(cups),
        "y": [0] * len(cups),
        "marker": {"symbol": "triangle-up", "size": 12, "color": "var(--ink)"},
        "cliponaxis": False,
    }
    return {
        "data": [*band_and_curve(times, left_mg, "left, best guess", "range", 0), marks],
        "layout": {
            "height": 400,
            "xaxis": {"type": "date", "tickformat": "%H:%M", "title": {"text": "time of day"}},
            "yaxis": {"title": {"text": "caffeine left, mg"}, "rangemode": "tozero"},
            "shapes": [shape],
            "annotations": [words],
        },
    }
