"""Lines of equal height of a fitted surface over two settings, and the brews that were tried."""

from collections.abc import Callable, Mapping, Sequence
from math import ceil, dist, floor
from typing import NamedTuple

from app.charts.figure import Figure, axis, note, scatter

STEPS = (0.1, 0.2, 0.5, 1.0, 2.0)
MOST_LINES = 6
AROUND = 0.14  # of the span, beyond what was planned
INSIDE = 0.06  # no name of a line stands nearer to the edge
WIDE, TALL = 0.15, 0.07  # of the picture, what words take on a phone
Place = tuple[float, float]
Edge = tuple[int, int, int]  # row, column, 0 across or 1 upright


class TriedAt(NamedTuple):
    """Brews at one place: their settings, and what is written beside them."""

    x: float
    y: float
    text: str


class Grid(NamedTuple):
    """A surface: the settings along both axes, and a row of heights for each y."""

    x: Sequence[float]
    y: Sequence[float]
    heights: Sequence[Sequence[float]]


def contour(
    grid: Grid,
    tried: Sequence[TriedAt],
    best: Place | None,
    *,
    x_title: str,
    y_title: str,
    written: Callable[[float], str] = "{:g}".format,
) -> Figure:
    """The surface as lines, each named by its height, `written` so; `best` is its highest place."""
    spans = [
        _range((of[0], of[-1]), values)
        for of, values in ((grid.x, [one.x for one in tried]), (grid.y, [one.y for one in tried]))
    ]
    data, names = [], []
    x: list[float | None] = []
    y: list[float | None] = []
    taken = [at for one in tried for at in _beside(_share((one.x, one.y), spans))]
    for level in levels(grid.heights):
        lines = lines_at(grid, level)
        for line in lines:
            x += [*(round(at[0], 4) for at in line), None]
            y += [*(round(at[1], 4) for at in line), None]
        if (at := _free(lines, taken, spans)) is not None:
            taken.append(_share(at, spans))
            names.append(note(written(level), x=round(at[0], 4), y=round(at[1], 4)))
    if x:
        drawn = {"color": "var(--ink-soft)", "width": 1.5}
        data.append(scatter("lines", x, y, name="liking, fitted", line=drawn, hoverinfo="skip"))
    data.append(_points(tried))
    if best is not None:
        star = {"symbol": "diamond-open", "size": 14, "color": "var(--ink)", "line": {"width": 2}}
        data.append(
            scatter("markers", [best[0]], [best[1]], name="highest", marker=star, cliponaxis=False)
        )
    return {
        "data": data,
        "layout": {
            "height": 380,
            "xaxis": axis(x_title, range=list(spans[0])),
            "yaxis": axis(y_title, range=list(spans[1])),
            "annotations": names,
        },
    }


def _points(tried: Sequence[TriedAt]) -> Figure:
    marker = {"symbol": "circle", "size": 9, "color": "var(--series-1)"}
    x, y = [round(one.x, 4) for one in tried], [round(one.y, 4) for one in tried]
    text = [one.text for one in tried]
    drawn = scatter("markers+text", x, y, name="brewed, mean liking", text=text, marker=marker)
    return drawn | {"textposition": "top center", "cliponaxis": False}


def _range(span: Place, tried: Sequence[float]) -> Place:
    room = AROUND * (span[1] - span[0])
    low, high = min([span[0], *tried]) - room, max([span[1], *tried]) + room
    return round(low, 4), round(high, 4)


def levels(heights: Sequence[Sequence[float]]) -> list[float]:
    """Round heights between the lowest and the highest, few enough to be told apart."""
    low = min(min(row) for row in heights)
    high = max(max(row) for row in heights)
    step = next((step for step in STEPS if (high - low) / step <= MOST_LINES), STEPS[-1])
    counts = range(ceil(low / step + 1e-9), floor(high / step - 1e-9) + 1)
    return [round(n * step, 2) for n in counts]


def lines_at(grid: Grid, level: float) -> list[list[Place]]:
    """Lines of this height through the cells of the grid, each from end to end: marching squares.

    A cell that is high in two opposite corners is parted by its mean.
    """
    ends: dict[Edge, list[Edge]] = {}
    for row in range(len(grid.y) - 1):
        for column in range(len(grid.x) - 1):
            for a, b in _in_cell(grid.heights, row, column, level):
                ends.setdefault(a, []).append(b)
                ends.setdefault(b, []).append(a)
    lines = []
    # Open lines first, from one of their ends; what is left are rings.
    for start in sorted(ends, key=lambda edge: (len(ends[edge]), edge)):
        line = [start]
        while following := ends[line[-1]]:
            edge = following.pop()
            ends[edge].remove(line[-1])
            line.append(edge)
        if len(line) > 1:
            lines.append([_at(grid, edge, level) for edge in line])
    return lines


def _in_cell(
    heights: Sequence[Sequence[float]], row: int, column: int, level: float
) -> list[tuple[Edge, Edge]]:
    corners = [
        heights[row][column], heights[row][column + 1],
        heights[row + 1][column + 1], heights[row + 1][column],
    ]  # fmt: skip
    edges: list[Edge] = [
        (row, column, 0), (row, column + 1, 1), (row + 1, column, 0), (row, column, 1),
    ]  # fmt: skip
    above = [corner >= level for corner in corners]
    crossed = [edge for n, edge in enumerate(edges) if above[n] != above[(n + 1) % 4]]
    if len(crossed) < 4:
        return [(crossed[0], crossed[1])] if crossed else []
    south, east, north, west = crossed
    if (sum(corners) / 4 >= level) == above[0]:
        return [(south, east), (north, west)]
    return [(south, west), (north, east)]


def _at(grid: Grid, edge: Edge, level: float) -> Place:
    row, column, upright = edge
    there = (row + 1, column) if upright else (row, column + 1)
    a, b = grid.heights[row][column], grid.heights[there[0]][there[1]]
    share = 0.5 if a == b else (level - a) / (b - a)
    x0, y0 = grid.x[column], grid.y[row]
    return (x0 + share * (grid.x[there[1]] - x0), y0 + share * (grid.y[there[0]] - y0))


def _share(at: Place, spans: Sequence[Place]) -> Place:
    """A place as shares of both axes, so that distances on the page can be compared."""
    x, y = ((one - low) / (high - low) for one, (low, high) in zip(at, spans, strict=True))
    return x, y


def _free(
    lines: Sequence[Sequence[Place]], taken: Sequence[Place], spans: Sequence[Place]
) -> Place | None:
    """The place on the lines farthest from points and names that stand already."""
    every: Mapping[Place, Place] = {at: _share(at, spans) for line in lines for at in line}
    found = {
        at: share
        for at, share in every.items()
        if all(INSIDE <= one <= 1 - INSIDE for one in share)
    }
    if not found:
        return None
    at = max(found, key=lambda at: min((dist(found[at], one) for one in taken), default=1.0))
    x, y = found[at]
    lies_on = any(abs(x - one[0]) < WIDE and abs(y - one[1]) < TALL for one in taken)
    return None if lies_on else at


def _beside(share: Place) -> tuple[Place, Place]:
    """A brew, and the words above it."""
    return share, (share[0], share[1] + TALL)
