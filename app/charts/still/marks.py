"""What a trace draws: line and filling, error bars, points and the words beside them."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from app.charts.figure import Figure
from app.charts.still.letters import LINE, SIZE, plain
from app.charts.still.panel import Panel, Point
from app.charts.still.pen import Pen, number, percent
from app.charts.still.symbols import USUAL_SIZE, USUAL_WIDTH, stroke, symbol

CAPS = {"circle": "round", "square": "square"}  # ends of strokes that look like the point


def runs(points: Sequence[Point | None]) -> Iterator[list[Point]]:
    """Points that a line goes through without a break."""
    run: list[Point] = []
    for point in (*points, None):
        if point:
            run.append(point)
        elif run:
            yield run
            run = []


def stepped(run: Sequence[Point]) -> list[Point]:
    """Across first, then up or down."""
    corners = [corner for a, b in pairwise(run) for corner in (a, (b[0], a[1]))]
    return [*corners, run[-1]]


def line(panel: Panel, trace: Figure, colour: str, wide: float) -> str:
    given = trace.get("line", {})
    if "lines" not in trace["mode"] or not given.get("width", USUAL_WIDTH):
        return ""
    pen = Pen()
    for run in runs(panel.points(trace)):
        if len(run) > 1:
            through = stepped(run) if given.get("shape") == "hv" else run
            pen.through((x * wide, y) for x, y in through)
    return pen.path and f'<path fill="none" {stroke(given, colour)} d="{pen.path}"/>'


def filling(panel: Panel, trace: Figure, before: Figure, wide: float) -> str:
    """From this trace to the one before it."""
    there = [point for point in panel.points(trace) if point]
    back = [point for point in panel.points(before) if point]
    if not there or not back:
        return ""
    pen = Pen()
    pen.through((x * wide, y) for x, y in (*there, *back[::-1]))
    return f'<path fill="{trace["fillcolor"]}" d="{pen.path}z"/>'


def error_bars(panel: Panel, trace: Figure, way: str, wide: float) -> str:
    bar = trace[f"error_{way}"]
    pen = Pen()
    for _, low, high in panel.bars(trace, way):
        pen.move(low[0] * wide, low[1])
        if way == "x":
            pen.across(high[0] * wide)
        else:
            pen.down(high[1])
    return pen.path and (
        f'<path fill="none" {stroke({"width": bar["thickness"], "color": bar["color"]}, "")} '
        f'd="{pen.path}"/>'
    )


def dots(panel: Panel, trace: Figure, colour: str, wide: float) -> str:
    """Filled circles and squares: the ends of strokes without a length, all in one path."""
    marker = trace.get("marker", {})
    cap = CAPS.get(marker.get("symbol", "circle"))
    if "markers" not in trace["mode"] or cap is None:
        return ""
    pen = Pen()
    for _, (x, y) in panel.shown(trace):
        pen.dot(x * wide, y)
    return pen.path and (
        f'<path{faint(trace)} stroke="{marker.get("color", colour)}" stroke-linecap="{cap}" '
        f'stroke-width="{marker.get("size", USUAL_SIZE):g}" d="{pen.path}"/>'
    )


def faint(trace: Figure) -> str:
    return f' opacity="{trace["opacity"]:g}"' if "opacity" in trace else ""


def symbols(panel: Panel, trace: Figure, colour: str, key: str) -> str:
    """Points of other shapes: one is drawn, the others are its copies."""
    marker = trace.get("marker", {})
    if "markers" not in trace["mode"] or marker.get("symbol", "circle") in CAPS:
        return ""
    copies = "".join(
        f'<use href="#{key}" x="{percent(x)}" y="{number(y)}"/>' for _, (x, y) in panel.shown(trace)
    )
    return copies and f"<g{faint(trace)}><defs>{symbol(marker, colour, key)}</defs>{copies}</g>"


SIDES = {"left": ("end", -1), "right": ("start", 1), "center": ("middle", 0)}
HEIGHTS = {"top": -1, "middle": 0, "bottom": 1}


def words(panel: Panel, trace: Figure) -> str:
    """The words beside the points, as far from them as Plotly sets them."""
    if "text" not in trace["mode"]:
        return ""
    font, at = trace.get("textfont", {}), trace.get("textposition", "top center")
    size = font.get("size", SIZE)
    away = trace.get("marker", {}).get("size", USUAL_SIZE) / 2 / 0.8 + 1
    found = []
    for n, (x, y) in panel.shown(trace):
        upright, side = (at if isinstance(at, str) else at[n]).split()
        anchor, way = SIDES[side]
        sign = HEIGHTS[upright]
        down = size * 0.75 + sign * away + (sign - 1) * size / 2
        found.append(
            f'<text x="{percent(x)}" y="{number(y + down)}" dx="{number(way * away)}" '
            f'text-anchor="{anchor}">{plain(trace["text"][n])}</text>'
        )
    ink = f' fill="{font["color"]}"' if "color" in font else ""
    heavy = f' font-weight="{font["weight"]}"' if "weight" in font else ""
    return f'<g{ink}{heavy} font-size="{size:g}">{"".join(found)}</g>' if found else ""


def tspans(text: str, x: str, size: float = SIZE) -> str:
    """The lines of a text, each below the one before."""
    first, *others = text.split("<br>")
    below = number(size * LINE)
    return plain(first) + "".join(f'<tspan x="{x}" dy="{below}">{plain(s)}</tspan>' for s in others)
