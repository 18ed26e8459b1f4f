"""Liking in groups: every scored cup as a point, and the mean of each group."""

from collections.abc import Sequence

from app.charts.figure import Figure, axis, scatter

SPREAD = 0.16  # how far equal points of a group stand apart, of the distance between groups
BAR = 0.25  # half of the bar of a mean


def liking_in_groups(groups: Sequence[tuple[str, Sequence[float]]]) -> Figure:
    """Mean likings (1–9) of the cups of each named group, from left to right."""
    x: list[float] = []
    y: list[float] = []
    for place, (_, likings) in enumerate(groups):
        for value, aside in _side_by_side(likings):
            x.append(round(place + aside, 3))
            y.append(round(value, 2))
    at: list[float | None] = []
    mean: list[float | None] = []
    for place, (_, of) in enumerate(groups):
        if of:
            at += [place - BAR, place + BAR, None]
            mean += [round(sum(of) / len(of), 2)] * 2 + [None]
    cups = {"symbol": "circle-open", "color": "var(--series-4)", "size": 9, "line": {"width": 2}}
    bar = {"color": "var(--ink)", "width": 3}
    return {
        "data": [
            scatter("markers", x, y, name="a cup", marker=cups, cliponaxis=False),
            scatter("lines", at, mean, name="mean", line=bar),
        ],
        "layout": {
            "height": 320,
            "xaxis": {
                "range": [-0.5, len(groups) - 0.5],
                "tickvals": list(range(len(groups))),
                "ticktext": [name for name, _ in groups],
            },
            "yaxis": axis("liking, 1–9", range=[0.5, 9.5], tickvals=[1, 3, 5, 7, 9]),
        },
    }


def _side_by_side(likings: Sequence[float]) -> list[tuple[float, float]]:
    """Values with their places, so that equal ones do not hide each other."""
    placed = []
    for value in sorted(set(likings)):
        count = list(likings).count(value)
        step = min(SPREAD, 0.6 / max(count - 1, 1))
        placed += [(value, step * (n - (count - 1) / 2)) for n in range(count)]
    return placed
