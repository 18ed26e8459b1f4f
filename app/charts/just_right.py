"""Just-right scores of two cups: a line for each attribute, with A and B where they were put."""

from collections.abc import Sequence

from app.charts.cups import cup_trace
from app.charts.figure import Figure, axis, scatter, upright

Scores = Sequence[float | None]


def just_right(attributes: Sequence[str], a: Scores, b: Scores) -> Figure:
    """Scores from 1 (much too little) by 3 (just right) to 5 (much too much); None is no answer.

    The first attribute stands on top.
    """
    return {
        "data": [
            _between(attributes, a, b),
            _cup("A", attributes, a, b),
            _cup("B", attributes, b, a),
        ],
        "layout": {
            "height": 340,
            "xaxis": axis(
                "too little (−) to too much (+)",
                range=[0.1, 5.9],  # room for the letters at both ends
                tickvals=[1, 2, 3, 4, 5],
                ticktext=["−−", "−", "just right", "+", "++"],
            ),
            "yaxis": {
                "type": "category",
                "categoryorder": "array",
                "categoryarray": list(attributes)[::-1],
                "range": [-0.5, len(attributes) - 0.5],
            },
            "shapes": [upright(3, width=1) | {"layer": "below"}],
        },
    }


def _cup(letter: str, attributes: Sequence[str], own: Scores, other: Scores) -> Figure:
    """The letters stand on the outer side, A's on the left where both are the same."""
    x: list[float] = []
    y: list[str] = []
    letter_at: list[str] = []
    for word, score, against in zip(attributes, own, other, strict=True):
        if score is not None:
            left = letter == "A" if against is None or against == score else score < against
            x.append(round(score, 2))
            y.append(word)
            letter_at.append("middle left" if left else "middle right")
    text = [f"{letter}\u2002" if at.endswith("left") else f"\u2002{letter}" for at in letter_at]
    return cup_trace(letter, x, y) | {"textposition": letter_at, "text": text}


def _between(attributes: Sequence[str], a: Scores, b: Scores) -> Figure:
    """A line from A to B wherever both answered."""
    x: list[float | None] = []
    y: list[str | None] = []
    for word, ours, theirs in zip(attributes, a, b, strict=True):
        if ours is not None and theirs is not None:
            x += [round(ours, 2), round(theirs, 2), None]
            y += [word, word, None]
    line = {"color": "var(--line-strong)", "width": 2}
    return scatter("lines", x, y, line=line, showlegend=False, hoverinfo="skip")
