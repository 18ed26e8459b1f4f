"""Curves over time: extraction in a steep, caffeine through a day, a drink standing with ice."""

from collections.abc import Sequence

from app.charts.figure import Figure, Triple, axis, bars_of_few, note, rounded, scatter, upright
from app.charts.in_view import in_view, told


def band_and_curve(
    x: Sequence[float | str], values: Sequence[Triple], name: str, band: str, digits: int
) -> list[Figure]:
    """The band from low to high and on it the curve of the values, with names for the legend."""
    best, low, high = ([round(value[place], digits) for value in values] for place in range(3))
    edge: Figure = {"line": {"width": 0}, "hoverinfo": "skip"}
    return [
        scatter("lines", x, high, showlegend=False, **edge),
        scatter("lines", x, low, fill="tonexty", fillcolor="var(--line)", name=band, **edge),
        scatter("lines", x, best, line={"color": "var(--series-1)", "width": 3}, name=name),
    ]


def mark(x: float | str, text: str, *, side: str = "left") -> tuple[Figure, Figure]:
    """A thin vertical line with a text at its top, on the `side` given: (shape, annotation)."""
    shape = upright(x, colour="var(--line-strong)")
    return shape, note(text, x=x, yref="paper", y=1, yanchor="top", xanchor=side)


def steep_time(
    minutes: Sequence[float],
    extraction_pct: Sequence[Triple],
    measured: Sequence[tuple[float, Triple]],
    marks: Sequence[tuple[float, str]],
) -> Figure:
    """Estimated extraction (%), measured brews (minutes, %), and `marks` (minutes, text)."""
    data = band_and_curve(minutes, extraction_pct, "estimate", "its range", 2)
    if measured:
        ranges = [extraction for _, extraction in measured]
        x, y = [round(minute, 3) for minute, _ in measured], [round(best, 2) for best, *_ in ranges]
        marker = {"symbol": "diamond", "size": 8, "color": "var(--series-2)"}
        brews = scatter("markers", x, y, name="measured brews", marker=marker)
        data.append(brews | bars_of_few(ranges) | {"cliponaxis": False})
    drawn = [
        mark(minute, text, side="right" if n == 0 and len(marks) > 1 else "left")
        for n, (minute, text) in enumerate(sorted(marks))
    ]
    extraction, notes = _extraction_axis(extraction_pct, [best for _, (best, *_) in measured])
    return {
        "data": data,
        "layout": {
            "height": 400,
            "xaxis": axis("steep, minutes", rangemode="tozero"),
            "yaxis": extraction,
            "shapes": [shape for shape, _ in drawn],
            "annotations": [*(words for _, words in drawn), *notes],
        },
    }


def _extraction_axis(
    curve: Sequence[Triple], measured: Sequence[float]
) -> tuple[Figure, list[Figure]]:
    """From 0 on and over the whole curve; strays among the measured brews do not flatten it."""
    named = axis("extraction, % of the dose", rangemode="tozero")
    view = in_view(measured, kept=[0.0, *(end for ends in curve for end in ends)])
    return (named | {"range": view.range}, [told(view)]) if view else (named, [])


def caffeine_day(
    times: Sequence[str], left_mg: Sequence[Triple], now: str, cups: Sequence[str]
) -> Figure:
    """Caffeine left at wall times such as 2026-03-05 07:30, with `now` and each cup marked."""
    shape, words = mark(now, "now")
    marker = {"symbol": "triangle-up", "size": 12, "color": "var(--ink)"}
    drunk = scatter("markers", cups, [0] * len(cups), name="a cup", marker=marker, cliponaxis=False)
    return {
        "data": [*band_and_curve(times, left_mg, "left, best guess", "range", 0), drunk],
        "layout": {
            "height": 400,
            "xaxis": axis("time of day", type="date", tickformat="%H:%M"),
            "yaxis": axis("caffeine left, mg", rangemode="tozero"),
            "shapes": [shape],
            "annotations": [words],
        },
    }


def ice_time(
    minutes: Sequence[float],
    strength_pct: Sequence[float],
    temperature: Sequence[float],
    *,
    gone_after: float | None,
    degrees: str = "°C",
) -> Figure:
    """Strength (% TDS) above temperature (in `degrees`); no ice is left `gone_after` minutes."""
    # At least a quarter of a point of TDS on the axis, so that little does not look like much.
    low, high = min(strength_pct), max(strength_pct)
    spare = max(0.02, (0.25 - (high - low)) / 2)
    span = [round(max(0.0, low - spare), 3), round(high + spare, 3)]
    layout: Figure = {
        "height": 420,
        "showlegend": False,
        "xaxis": axis("minutes in the room", anchor="y2"),
        "yaxis": axis("% TDS", domain=[0.56, 1.0], range=span),
        "yaxis2": axis(degrees, domain=[0.0, 0.44]),
    }
    if gone_after is not None:
        shape, words = mark(gone_after, "ice gone")
        layout |= {"shapes": [shape], "annotations": [words]}
    return {
        "data": [
            _line(minutes, rounded(strength_pct, 3), "var(--series-1)", "y"),
            _line(minutes, rounded(temperature, 1), "var(--series-2)", "y2"),
        ],
        "layout": layout,
    }


def _line(x: Sequence[float], y: Sequence[float | None], colour: str, y_axis: str) -> Figure:
    return scatter("lines", x, y, yaxis=y_axis, line={"color": colour, "width": 3})
