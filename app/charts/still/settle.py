"""A figure with everything worked out: ranges, marks and their words, margins, place of the legend.

The picture and the live chart are both drawn from it, so they agree.
"""

from copy import copy
from math import isfinite

from app.charts.figure import Figure
from app.charts.still.frame import LETTERS, framed
from app.charts.still.letters import literal
from app.charts.still.marked import leave_out_what_sticks_out, mark
from app.charts.still.signs import Signs
from app.charts.still.spans import span, widened
from app.charts.still.values import axis_of

NARROW = 330  # pixels a phone has for a chart: nothing overlaps there, nor where there is more
USUAL_HEIGHT = 320
PLAIN: Figure = {
    "automargin": False, "fixedrange": True, "zeroline": False, "showline": False, "ticks": "",
}  # fmt: skip
CENTRED = {"xanchor": "center", "yanchor": "middle"}


def settled(figure: Figure, signs: Signs | None = None, width: int = NARROW) -> Figure:
    """A new figure; the one given is left as it is."""
    signs = signs or Signs()
    made = _complete(figure)
    layout = made["layout"]
    for ref in _refs_of(layout):
        axis = axis_of(layout, ref)
        if _counts(made, ref):
            axis.setdefault("dtick", 1)
        axis["range"] = widened(axis) if "range" in axis else span(made, ref)
    # The words of the upright axes say how much width is left for the lying one.
    tall = framed(made, width).plot_height
    for axis in (axis_of(layout, ref) for ref in _refs_of(layout) if ref[0] == "y"):
        low, high = axis["domain"]
        mark(axis, signs, tall * (high - low), upright=True)
    frame = framed(made, width)
    mark(layout["xaxis"], signs, frame.plot_width, upright=False)
    leave_out_what_sticks_out(layout["xaxis"], frame)
    framed(made, width).put_into(made)
    return made


def _complete(figure: Figure) -> Figure:
    """A copy that says what the figure leaves to be understood."""
    layout = dict(figure.get("layout", {}))
    layout.setdefault("height", USUAL_HEIGHT)
    _leave_out_unused(layout, figure["data"])
    for name in dict.fromkeys(["xaxis", *(name for name in layout if name[1:5] == "axis")]):
        layout[name] = _axis(layout.get(name, {}), figure["data"], name[0])
    layout["shapes"] = _placed(layout, "shapes", {"layer": "above"})
    layout["annotations"] = _placed(layout, "annotations", CENTRED)
    lettered = any("text" in trace["mode"] for trace in figure["data"])
    for note in layout["annotations"]:
        note["text"] = literal(note["text"])
        if lettered and (note["yref"], note["yanchor"]) == ("paper", "bottom"):
            note["yshift"] = LETTERS  # above the letters of points that stand at the edge
    return {"data": _named(figure["data"], layout), "layout": layout}


def _leave_out_unused(layout: Figure, data: list[Figure]) -> None:
    """Upright axes without a point are not drawn; the lying one keeps its place at the bottom."""
    used = {f"yaxis{trace.get('yaxis', 'y')[1:]}" for trace in data if len(trace["x"])}
    for name in [name for name in layout if name.startswith("yaxis")]:
        if name not in (used or {"yaxis"}):
            del layout[name]
    for name in used or {"yaxis"}:
        layout.setdefault(name, {})
    anchor = layout.get("xaxis", {}).get("anchor", "y")
    if f"yaxis{anchor[1:]}" not in layout:
        layout["xaxis"] = layout["xaxis"] | {"anchor": "free", "position": 0}


def _refs_of(layout: Figure) -> list[str]:
    return [f"{name[0]}{name[5:]}" for name in layout if name[1:5] == "axis"]


def _axis(axis: Figure, data: list[Figure], way: str) -> Figure:
    settled: Figure = {"domain": [0.0, 1.0], "title": {"text": ""}} | axis
    settled["title"] = {"text": literal(settled["title"]["text"]), "font": {"size": 13}}
    settled.setdefault("type", "linear")
    if settled["type"] == "category" and "categoryarray" not in settled:
        names = dict.fromkeys(name for trace in data for name in trace[way] if name is not None)
        settled |= {"categoryorder": "array", "categoryarray": list(names)}
    return settled | PLAIN


def _placed(layout: Figure, kind: str, usual: Figure) -> list[Figure]:
    """Shapes or notes with what they leave out; without those on an axis that is not there."""
    parts = [{"xref": "x", "yref": "y"} | usual | part for part in layout.get(kind, ())]
    there = {"paper", *_refs_of(layout)}
    return [part for part in parts if {part["xref"], part["yref"]} <= there]


def _named(data: list[Figure], layout: Figure) -> list[Figure]:
    """The traces that have points, each saying whether the legend has it; one alone has none."""
    traces = [copy(trace) for trace in data if len(trace["x"])]
    listed = [trace for trace in traces if trace.get("showlegend", True) and trace.get("name")]
    asked = any(trace.get("showlegend") for trace in listed)
    layout["showlegend"] = bool(layout.get("showlegend", len(listed) > 1 or asked) and listed)
    for trace in traces:
        trace["showlegend"] = any(trace is one for one in listed)
        for way in "xy":
            trace[way] = [_finite(value) for value in trace[way]]
        for bar in ("error_x", "error_y"):
            if bar in trace:
                trace[bar] = trace[bar] | {"width": 0}
        if "name" in trace:
            trace["name"] = literal(trace["name"])
    return traces


def _finite(value: object) -> object:
    """None for what JSON has no word for."""
    return None if isinstance(value, float) and not isfinite(value) else value


def _counts(made: Figure, ref: str) -> bool:
    """Whether an axis counts something, so that there is nothing between two whole numbers."""
    of_axis = [t for t in made["data"] if ref == "x" or t.get("yaxis", "y") == ref]
    values = [value for trace in of_axis for value in trace[ref[0]] if value is not None]
    ranged = any(f"error_{ref[0]}" in trace for trace in of_axis)
    return bool(values) and not ranged and all(type(value) is int for value in values)
