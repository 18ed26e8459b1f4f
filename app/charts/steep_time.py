"""Extraction against steep time at one grind: the model's curve, its band, measured brews."""

from collections.abc import Sequence

from app.charts.bands import band_and_curve, mark
from app.charts.figure import Figure, Triple, error_bar


def steep_time(
    minutes: Sequence[float],
    extraction_pct: Sequence[Triple],
    measured: Sequence[tuple[float, Triple]],
    marks: Sequence[tuple[float, str]],
) -> Figure:
    """Estimated extraction (%) at each of `minutes`.

    `measured` are (minutes, extraction) of brews, `marks` the (minutes, text) that are compared.
    """
    data = band_and_curve(minutes, extraction_pct, "estimate", "its range", 2)
    if measured:
        data.append(_brews(measured))
    drawn = [
        mark(minute, text, side="right" if n == 0 and len(marks) > 1 else "left")
        for n, (minute, text) in enumerate(sorted(marks))
    ]
    return {
        "data": data,
        "layout": {
            "height": 400,
            "xaxis": {"title": {"text": "steep, minutes"}, "rangemode": "tozero"},
            "yaxis": {"title": {"text": "extraction, % of the dose"}, "rangemode": "tozero"},
            "shapes": [shape for shape, _ in drawn],
            "annotations": [words for _, words in drawn],
        },
    }


def _brews(measured: Sequence[tuple[float, Triple]]) -> Figure:
    return {
        "type": "scatter",
        "mode": "markers",
        "name": "measured brews",
        "x": [round(minute, 3) for minute, _ in measured],
        "y": [round(extraction[0], 2) for _, extraction in measured],
        "error_y": error_bar([extraction for _, extraction in measured], "var(--line-strong)",
                             thickness=1),
        "marker": {"symbol": "diamond", "size": 8, "color": "var(--series-2)"},
        "cliponaxis": False,
    }  # fmt: skip
