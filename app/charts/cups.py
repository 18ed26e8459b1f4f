"""How cup A and cup B are drawn on every chart: A filled and round, B hollow and square."""

from collections.abc import Sequence

from app.charts.figure import Figure, scatter

COLOURS = {"A": "var(--cup-a)", "B": "var(--cup-b)"}
# B is the larger, so that both are seen when they are at the same place.
MARKERS: dict[str, Figure] = {
    "A": {"symbol": "circle", "size": 12},
    "B": {"symbol": "square-open", "size": 19, "line": {"width": 3}},
}


def cup_trace(letter: str, x: Sequence[float | str], y: Sequence[float | str | None]) -> Figure:
    """Points of cup "A" or "B", its letter beside each."""
    colour = COLOURS[letter]
    letters = {
        "text": [letter] * len(x),
        "textposition": "top left" if letter == "A" else "top right",
        "textfont": {"color": colour, "size": 15, "weight": 700},
    }
    marker = {"color": colour, **MARKERS[letter]}
    drawn = scatter("markers+text", x, y, name=f"Cup {letter}", marker=marker, **letters)
    return drawn | {"cliponaxis": False, "showlegend": False}
