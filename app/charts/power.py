"""The chart of a planned blind test: how often it would show a difference."""

from collections.abc import Sequence

from app.charts.figure import Figure, note, upright


def power(
    sizes_pct: Sequence[float], shown_pct: Sequence[float], *, matters_pct: float, x_title: str
) -> Figure:
    """The share of tests (%) that show a difference, against its size (%).

    The size that matters is marked.
    """
    curve = {
        "type": "scatter",
        "mode": "lines+markers",
        "x": [round(size, 2) for size in sizes_pct],
        "y": [round(share, 2) for share in shown_pct],
        "line": {"color": "var(--ink)", "width": 2},
        "marker": {"symbol": "circle", "size": 5, "color": "var(--ink)"},
        "showlegend": False,
    }
    words = note("size that matters", x=matters_pct, y=1.0, yref="paper", yanchor="bottom")
    return {
        "data": [curve],
        "layout": {
            "xaxis": {"title": {"text": x_title}, "range": [-2, 102]},
            "yaxis": {"title": {"text": "shown in so many tests of 100"}, "range": [-3, 103]},
            "shapes": [upright(matters_pct, dash="dash")],
            "annotations": [words],
            "margin": {"l": 48, "r": 16, "t": 28, "b": 48},
        },
    }
