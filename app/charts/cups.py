"""How cup A and cup B are drawn on every chart: A filled and round, B hollow and square."""

from collections.abc import Sequence

from app.charts.figure import Figure

COLOURS = {"A": "var(--cup-a)", "B": "var(--cup-b)"}
# B is the larger, so that both are seen when they are at the same place.
MARKERS: dict[str, Figure] = {
    "A": {"symbol": "circle", "size": 12},
    "B": {"symbol": "square-open", "size": 19, "line": {"width": 3}},
}
LETTER_AT = {"A": "top left", "B": "top right"}


def cup_trace(letter: str, x: Sequence[float | str], y: Sequence[float | str | None]) -> Figure:
    """Points of cup "A" or "B", its letter beside each."""
    colour = COLOURS[letter]
    return {
        "type": "scatter",
        "mode": "markers+text",
        "name": f"Cup {letter}",
        "x": list(x),
        "y": list(y),
        "text": [letter] * len(x),
        "textposition": LETTER_AT[letter],
        "textfont": {"color": colour, "size": 15, "weight": 700},
        "marker": {"color": colour, **MARKERS[letter]},
        "cliponaxis": False,
        "showlegend": False,
    }
