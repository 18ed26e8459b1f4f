"""Small pictures with shared axes: liking over one thing, a picture for each bag or year."""

from collections.abc import Sequence

from app.charts.figure import Figure, axis, rounded, scatter

HEIGHT = 170
LIKING = {"range": [0.5, 9.5], "tickvals": [1, 3, 5, 7, 9]}
MARKER: Figure = {"symbol": "circle", "color": "var(--series-1)", "size": 8}


def small(
    x: Sequence[float],
    liking: Sequence[float],
    x_title: str,
    x_range: tuple[float, float],
    ticks: tuple[Sequence[float], Sequence[str]] | None = None,
) -> Figure:
    """Scores over `x`; `ticks` are places on the x axis and what stands at them."""
    drawn = scatter("markers", rounded(x), rounded(liking), marker=MARKER, cliponaxis=False)
    more: Figure = {"range": list(x_range)}
    if ticks:
        more |= {"tickvals": list(ticks[0]), "ticktext": list(ticks[1])}
    layout = {"xaxis": axis(x_title, **more), "yaxis": axis("liking", **LIKING)}
    return {"data": [drawn | {"showlegend": False}], "layout": layout | {"height": HEIGHT}}
