"""Recipes by how often each would be preferred, with ranges."""

from collections.abc import Sequence

from app.charts.figure import Figure, Triple, axis, error_bar, scatter

EVEN = 50


def worths(names: Sequence[str], of_100: Sequence[Triple]) -> Figure:
    """How many times of 100 each named recipe would be preferred to a middling one of them."""
    points = [round(value, 1) for value, _, _ in of_100]
    marker = {"symbol": "circle", "size": 10, "color": "var(--ink)"}
    bars = error_bar(of_100, "var(--ink-soft)", digits=1)
    level = {
        "type": "line",
        "xref": "paper",
        "x0": 0,
        "x1": 1,
        "y0": EVEN,
        "y1": EVEN,
        "line": {"color": "var(--ink-soft)", "width": 1.5, "dash": "dot"},
    }
    return {
        "data": [
            scatter("markers", list(range(len(names))), points, name="with its range",
                    marker=marker, error_y=bars, cliponaxis=False, showlegend=False)
        ],
        "layout": {
            "height": 320,
            "xaxis": axis("", range=[-0.5, len(names) - 0.5], tickvals=list(range(len(names))),
                          ticktext=list(names)),
            "yaxis": axis("preferred, of 100", range=[0, 100], tickvals=[0, 25, 50, 75, 100]),
            "shapes": [level],
        },
    }  # fmt: skip
