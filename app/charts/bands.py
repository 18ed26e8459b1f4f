"""A curve with the band it may lie in."""

from collections.abc import Sequence

from app.charts.figure import Figure, Triple, note, upright

BAND = "var(--line)"
CURVE = "var(--series-1)"


def band_and_curve(
    x: Sequence[float | str], values: Sequence[Triple], name: str, band: str, digits: int
) -> list[Figure]:
    """The band from low to high, and on it the curve of the best values.

    `name` and `band` are their names in the legend; values are rounded to `digits`.
    """
    low, high = ([round(value[end], digits) for value in values] for end in (1, 2))
    edge: Figure = {"type": "scatter", "mode": "lines", "x": list(x), "line": {"width": 0},
                    "hoverinfo": "skip"}  # fmt: skip
    return [
        edge | {"y": high, "showlegend": False},
        edge | {"y": low, "fill": "tonexty", "fillcolor": BAND, "name": band},
        {
            "type": "scatter",
            "mode": "lines",
            "x": list(x),
            "y": [round(value[0], digits) for value in values],
            "line": {"color": CURVE, "width": 3},
            "name": name,
        },
    ]


def mark(x: float | str, text: str, *, side: str = "left") -> tuple[Figure, Figure]:
    """A thin vertical line with a text at its top, on the `side` given: (shape, annotation)."""
    shape = upright(x, colour="var(--line-strong)")
    return shape, note(text, x=x, yref="paper", y=1, yanchor="top", xanchor=side)
