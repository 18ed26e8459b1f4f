"""A drink with ice left standing: strength above, temperature below, over minutes."""

from collections.abc import Sequence

from app.charts.bands import mark
from app.charts.figure import Figure

STRENGTH_DOMAIN, TEMPERATURE_DOMAIN = [0.56, 1.0], [0.0, 0.44]


def ice_time(
    minutes: Sequence[float],
    strength_pct: Sequence[float],
    temperature: Sequence[float],
    *,
    gone_after: float | None,
    degrees: str = "°C",
) -> Figure:
    """Strength (% TDS) and temperature (in `degrees`) at each of `minutes`.

    `gone_after` is the minute at which the last ice has melted, None without ice.
    """
    layout: Figure = {
        "height": 420,
        "showlegend": False,
        "xaxis": {"title": {"text": "minutes in the room"}, "anchor": "y2"},
        "yaxis": {"title": {"text": "% TDS"}, "domain": STRENGTH_DOMAIN, **_room(strength_pct)},
        "yaxis2": {"title": {"text": degrees}, "domain": TEMPERATURE_DOMAIN},
    }
    if gone_after is not None:
        shape, words = mark(gone_after, "ice gone")
        layout |= {"shapes": [shape], "annotations": [words]}
    return {
        "data": [
            _line(minutes, [round(value, 3) for value in strength_pct], "var(--series-1)", "y"),
            _line(minutes, [round(value, 1) for value in temperature], "var(--series-2)", "y2"),
        ],
        "layout": layout,
    }


def _line(x: Sequence[float], y: Sequence[float], colour: str, axis: str) -> Figure:
    return {
        "type": "scatter",
        "mode": "lines",
        "x": list(x),
        "y": list(y),
        "yaxis": axis,
        "line": {"color": colour, "width": 3},
    }


def _room(values: Sequence[float]) -> Figure:
    """At least a quarter of a point of TDS on the axis, so that little does not look like much."""
    low, high = min(values), max(values)
    spare = max(0.02, (0.25 - (high - low)) / 2)
    return {"range": [round(max(0.0, low - spare), 3), round(high + spare, 3)]}
