"""Strokes and the shapes of points, as Plotly has them."""

from math import sqrt

from app.charts.figure import Figure
from app.charts.still.pen import number

DASHES = {"dash": (3, 3), "dot": (1, 1), "longdash": (5, 5), "dashdot": (3, 1, 1, 1)}
LEAST_DASH = 3.0
USUAL_SIZE, USUAL_WIDTH = 6, 2


def stroke(line: Figure, colour: str) -> str:
    """The attributes of a line."""
    width = line.get("width", USUAL_WIDTH)
    parts = DASHES.get(line.get("dash", "solid"), ())
    unit = max(width, LEAST_DASH)
    dash = f' stroke-dasharray="{" ".join(f"{part * unit:g}" for part in parts)}"' if parts else ""
    wide = "" if width == 1 else f' stroke-width="{width:g}"'
    return f'stroke="{line.get("color", colour)}"{wide}{dash}'


def symbol(marker: Figure, colour: str, key: str = "") -> str:
    """One point around 0, 0, of the size and shape that Plotly gives it."""
    name, painted = marker.get("symbol", "circle"), marker.get("color", colour)
    d = OUTLINES[name.removesuffix("-open")](marker.get("size", USUAL_SIZE) / 2)
    if name.endswith("-open"):
        width = marker.get("line", {}).get("width", 1)
        paint = f'fill="none" {stroke({"width": width, "color": painted}, painted)}'
    else:
        paint = f'fill="{painted}"'
    named = f' id="{key}"' if key else ""
    return f'<path{named} {paint} d="{d}"/>'


def _circle(r: float) -> str:
    half = f"a{number(r)} {number(r)} 0 1 0"
    return f"M{number(-r)} 0{half} {number(2 * r)} 0{half} {number(-2 * r)} 0z"


def _square(r: float) -> str:
    return f"M{number(-r)} {number(-r)}h{number(2 * r)}v{number(2 * r)}h{number(-2 * r)}z"


def _diamond(r: float) -> str:
    far = 1.3 * r
    return f"M0 {number(-far)}L{number(far)} 0 0 {number(far)} {number(-far)} 0z"


def _triangle(r: float) -> str:
    half = 2 * r / sqrt(3)
    return f"M{number(-half)} {number(r / 2)}H{number(half)}L0 {number(-r)}z"


OUTLINES = {"circle": _circle, "square": _square, "diamond": _diamond, "triangle-up": _triangle}
