"""Where things stand in a chart: its margins, the area of the points, the rows of its legend."""

from dataclasses import dataclass
from math import ceil

from app.charts.figure import Figure
from app.charts.still.letters import LINE, SIZE, SLIM, lines, width, wrapped
from app.charts.still.values import axis_of, noted, place

RIGHT = 20  # the same for every chart: the sheet of charts counts on it
STEP = 8  # both sides together take multiples of it, each a class of the sheet
GAP = 6  # between the area and the words beside it
TITLE = 22  # a title of an axis with its room
ROW = 19  # of the legend
SWATCH = 28
BETWEEN = 14
TOP = 12
LETTERS = 22  # above points
ABOUT_WORDS = 110  # of a chart's height


@dataclass(frozen=True)
class Frame:
    """A chart `width` pixels wide at least; where there is more room, the area grows sideways."""

    width: int
    height: int
    left: int
    top: int
    bottom: int
    legend: list[list[tuple[Figure, float]]]  # rows of traces, each with its distance from the left

    @property
    def plot_width(self) -> float:
        return self.width - self.left - RIGHT

    @property
    def plot_height(self) -> float:
        return self.height - self.top - self.bottom

    @property
    def legend_room(self) -> float:
        """For one name; what the app says itself fits in."""
        return float(self.width - self.left)

    def holds(self, share: float, text: str) -> bool:
        """Whether a word below the axis, centred at this share of it, stays within the chart."""
        at, half = share * self.plot_width, width(text) / 2
        return -self.left <= at - half and at + half <= self.plot_width + RIGHT

    def put_into(self, figure: Figure) -> None:
        """Say it as Plotly takes it."""
        layout = figure["layout"]
        layout["margin"] = {
            "l": self.left, "r": RIGHT, "t": self.top, "b": self.bottom, "pad": 0,
            "autoexpand": False,
        }  # fmt: skip
        layout["font"] = {"size": int(SIZE)}
        layout["legend"] = {
            "orientation": "h", "x": 0, "xanchor": "left", "yanchor": "bottom",
            "y": round(1 + (_above(figure) + GAP) / self.plot_height, 4),
            "font": {"size": int(SIZE)},
            "traceorder": "normal", "itemclick": False, "itemdoubleclick": False,
        }  # fmt: skip


def framed(figure: Figure, wide: int) -> Frame:
    layout = figure["layout"]
    upright = [layout[name] for name in layout if name.startswith("yaxis")]
    words = max((width(text) for axis in upright for text in axis.get("ticktext", ())), default=0.0)
    titled = any(axis["title"]["text"] for axis in upright)
    needed = GAP + words + (TITLE if titled else GAP)
    left = STEP * ceil((needed + RIGHT) / STEP) - RIGHT
    under = layout["xaxis"]
    rows = max((lines(text) for text in under.get("ticktext", ())), default=1)
    below = GAP + rows * SIZE * LINE + (TITLE if under["title"]["text"] else 0) + GAP
    for note in layout["annotations"]:
        _keep_inside(note, layout, left, (wide - left - RIGHT) * SLIM)
    legend = _legend(figure, (wide - left) * SLIM)
    above = TOP + _above(figure) + (ROW * len(legend) + GAP if legend else 0)
    return Frame(wide, layout["height"], left, ceil(above), ceil(below), legend)


def _above(figure: Figure) -> float:
    """What notes and the words of points take above the area's upper edge."""
    lettered = any("text" in trace["mode"] for trace in figure["data"])
    notes = (_sticks_out(note, figure["layout"]) for note in figure["layout"]["annotations"])
    return max([LETTERS if lettered else 0.0, *notes])


def _sticks_out(note: Figure, layout: Figure) -> float:
    """Pixels of a note above the area; one with a place on an axis may stand near its end."""
    if note["yanchor"] != "bottom":
        return 0.0
    tall = lines(note["text"]) * note["font"]["size"] * LINE + 4 + note.get("yshift", 0)
    if note["yref"] == "paper":
        return float(tall) if note["y"] == 1 else 0.0
    axis = axis_of(layout, note["yref"])
    below = (1 - place(axis, noted(axis, note["y"]) or 0.0)) * (layout["height"] - ABOUT_WORDS)
    return max(0.0, float(tall - below))


def _keep_inside(note: Figure, layout: Figure, left: int, room: float) -> None:
    """Part a note into lines, and let it end at its place where it cannot begin there."""
    note["font"] = {"size": int(SIZE)} | note.get("font", {})
    note["text"] = wrapped(note["text"], room, note["font"]["size"])
    axis = layout["xaxis"]
    if note["xref"] == "x" and note["xanchor"] in ("left", "right"):
        at = (place(axis, noted(axis, note["x"]) or 0.0)) * room
        wide = width(note["text"], note["font"]["size"]) + GAP
        if note["xanchor"] == "left" and at + wide > room + RIGHT:
            note["xanchor"] = "right"
        elif note["xanchor"] == "right" and at - wide < -left:
            note["xanchor"] = "left"


def _legend(figure: Figure, room: float) -> list[list[tuple[Figure, float]]]:
    """Entries from left to right, in as many rows as they take."""
    rows: list[list[tuple[Figure, float]]] = []
    end = room
    for trace in figure["data"] if figure["layout"]["showlegend"] else ():
        if not trace["showlegend"]:
            continue
        takes = SWATCH + width(trace["name"])
        if not rows or end + takes > room:
            rows.append([])
            end = 0.0
        rows[-1].append((trace, end))
        end += takes + BETWEEN
    return rows
