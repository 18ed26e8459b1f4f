"""Two groups of cups: every score in a strip, over the days, and by use of the filter."""

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from app.charts.cups import COLOURS
from app.charts.figure import Figure, axis, rounded, scatter

MARKERS: dict[str, Figure] = {
    "A": {"symbol": "circle", "size": 8},
    "B": {"symbol": "square-open", "size": 9, "line": {"width": 2}},
}
LIKING_AXIS = {"range": [0.5, 9.5], "tickvals": [1, 3, 5, 7, 9]}
WIDEST = 0.38  # of a strip, to either side of its middle
STEP = 0.06


class Strip(NamedTuple):
    """One column of scores: what is written below it, the group, the scores, their mean."""

    name: str
    letter: str
    scores: Sequence[int]
    mean: float | None


class Point(NamedTuple):
    """A score at a place on the x axis: a day (year-month-day) or a use number."""

    letter: str
    x: float | str
    liking: int


def strips(columns: Sequence[Strip]) -> Figure:
    """Every score as a mark, equal ones beside each other, and each column's mean as a diamond."""
    data = []
    for letter in COLOURS:
        x, y = [], []
        for place, strip in enumerate(columns):
            if strip.letter == letter:
                spread_x = beside_each_other(strip.scores)
                x += [round(place + at, 3) for at in spread_x]
                y += list(strip.scores)
        if x:
            data.append(_marks(letter, x, y))
    means = [(n, strip.mean) for n, strip in enumerate(columns) if strip.mean is not None]
    marker = {"symbol": "diamond", "size": 13, "color": "var(--ink)"}
    data.append(
        scatter("markers", [n for n, _ in means], rounded([mean for _, mean in means], 2),
                name="mean of the days", marker=marker, cliponaxis=False)
    )  # fmt: skip
    names = [strip.name for strip in columns]
    x_axis = axis("", range=[-0.6, len(columns) - 0.4], tickvals=list(range(len(names))),
                  ticktext=names)  # fmt: skip
    return {"data": data, "layout": {"xaxis": x_axis, "yaxis": axis("liking, 1–9", **LIKING_AXIS)}}


def beside_each_other(scores: Sequence[int]) -> list[float]:
    """Where each score stands in its strip: equal ones about the middle, never beyond its edge."""
    counts, seen = Counter(scores), Counter[int]()
    places = []
    for score in scores:
        step = min(STEP, 2 * WIDEST / max(counts[score] - 1, 1))
        places.append((seen[score] - (counts[score] - 1) / 2) * step)
        seen[score] += 1
    return places


def over_days(points: Sequence[Point]) -> Figure:
    """Scores over the days."""
    return _scattered(points, axis("day of the brew", type="date"))


def by_use(points: Sequence[Point]) -> Figure:
    """Scores by the use number of the filter; equal marks are moved aside so that all are seen."""
    seen: Counter[tuple[str, float | str, int]] = Counter()
    moved = []
    for point in points:
        aside = (0.08 if point.letter == "B" else -0.08) * (1 + seen[point] % 5)
        seen[point] += 1
        moved.append(point._replace(x=round(float(point.x) + aside, 2)))
    last = max((int(float(point.x)) for point in points), default=1)
    few = {"dtick": 1} if last <= 12 else {}
    return _scattered(moved, axis("use of the filter", range=[0.4, last + 0.6], **few))


def _scattered(points: Sequence[Point], x_axis: Figure) -> Figure:
    data = []
    for letter in COLOURS:
        own = [point for point in points if point.letter == letter]
        if own:
            data.append(_marks(letter, [p.x for p in own], [p.liking for p in own]))
    return {"data": data, "layout": {"xaxis": x_axis, "yaxis": axis("liking, 1–9", **LIKING_AXIS)}}


def _marks(letter: str, x: Sequence[float | str], y: Sequence[int]) -> Figure:
    marker = {"color": COLOURS[letter], **MARKERS[letter]}
    drawn = scatter("markers", x, list(y), name=f"Group {letter}", marker=marker)
    return drawn | {"opacity": 0.75, "cliponaxis": False}
