"""A figure with everything worked out: ranges, marks and their words, margins, place of the legend.

The picture and the live chart are both drawn from it, so they agree.
"""

from copy import copy
from math import isfinite

from app.charts.figure import Figure
from app.charts.still.days import days, hours
from app.charts.still.frame import LETTERS, Frame, framed
from app.charts.still.letters import BREAK, label, literal
from app.charts.still.signs import Signs
from app.charts.still.spans import span, widened
from app.charts.still.ticks import Stretch, Ticks, given, linear, logarithmic
from app.charts.still.values import axis_of, coordinate, ends, place, wall, written

NARROW = 330  # pixels a phone has for a chart: nothing overlaps there, nor where there is more
USUAL_HEIGHT = 320
CENTRED = {"xanchor": "center", "yanchor": "middle"}
NAME_ROOM = 104.0  # for words beside an upright axis


def settled(figure: Figure, signs: Signs | None = None, width: int = NARROW) -> Figure:
    """A new figure; the one given is left as it is."""
    signs = signs or Signs()
    layout = dict(figure.get("layout", {}))
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
    layout.setdefault("height", USUAL_HEIGHT)
    made: Figure = {"data": _named(figure["data"], layout), "layout": layout}
    upright = [ref for ref in _refs_of(layout) if ref[0] == "y"]
    for ref in _refs_of(layout):
        axis = axis_of(layout, ref)
        if _counts(made, ref):
            axis.setdefault("dtick", 1)
        axis["range"] = widened(axis) if "range" in axis else span(made, ref)
    frame = framed(made, width)
    for ref in upright:
        axis = axis_of(layout, ref)
        low, high = axis["domain"]
        _mark(axis, signs, frame.plot_height * (high - low), upright=True)
    frame = framed(made, width)
    _mark(layout["xaxis"], signs, frame.plot_width, upright=False)
    _leave_out_what_sticks_out(layout["xaxis"], frame)
    frame = framed(made, width)
    frame.put_into(made)
    return made


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
    return settled | {
        "automargin": False,
        "fixedrange": True,
        "zeroline": False,
        "showline": False,
        "ticks": "",
    }


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


def _mark(axis: Figure, signs: Signs, pixels: float, *, upright: bool) -> None:
    """Put the marks and their words into the axis."""
    low, high = ends(axis)
    stretch = Stretch(low, high, pixels, upright)
    ticks = _ticks(axis, stretch, signs).within(low, high)
    dates = axis["type"] == "date"
    axis["tickmode"] = "array"
    axis["tickvals"] = [written(at) if dates else _value(axis, at) for at in ticks.at]
    said = (label(text, NAME_ROOM) if upright else text for text in ticks.text)
    axis["ticktext"] = [literal(text) for text in said]
    axis["tickangle"] = 0
    for known in ("dtick", "tickformat", "rangemode"):
        axis.pop(known, None)


def _value(axis: Figure, at: float) -> float:
    return float(f"{10.0**at:.6g}") if axis["type"] == "log" else at


def _ticks(axis: Figure, stretch: Stretch, signs: Signs) -> Ticks:
    if "tickvals" in axis:
        at = [coordinate(axis, value) for value in axis["tickvals"]]
        known = [value for value in at if value is not None]
        return given(
            stretch, known, axis.get("ticktext") or [f"{value:g}" for value in known], signs
        )
    if axis["type"] == "category":
        names = axis["categoryarray"]
        return Ticks([float(n) for n, _ in enumerate(names)], names)
    if axis["type"] == "date":
        return (hours if "tickformat" in axis else days)(stretch, signs)
    if axis["type"] == "log":
        return logarithmic(stretch, signs)
    return linear(stretch, signs, axis.get("dtick", 0.0))


def _counts(made: Figure, ref: str) -> bool:
    """Whether an axis counts something, so that there is nothing between two whole numbers."""
    of_axis = [t for t in made["data"] if ref == "x" or t.get("yaxis", "y") == ref]
    values = [value for trace in of_axis for value in trace[ref[0]] if value is not None]
    ranged = any(f"error_{ref[0]}" in trace for trace in of_axis)
    return bool(values) and not ranged and all(type(value) is int for value in values)


def _leave_out_what_sticks_out(axis: Figure, frame: Frame) -> None:
    """A mark at the edge keeps its line and loses its words where these have no room."""
    for n, (value, text) in enumerate(zip(axis["tickvals"], axis["ticktext"], strict=True)):
        at = coordinate(axis, value)
        if at is not None and not frame.holds(place(axis, at), text):
            axis["ticktext"][n] = ""
    if axis["type"] == "date" and axis["ticktext"] and not axis["ticktext"][0]:
        _say_year(axis)


def _say_year(axis: Figure) -> None:
    """Below the first day that is written."""
    for n, text in enumerate(axis["ticktext"]):
        if text:
            if BREAK not in text and ":" not in text and not text.isdecimal():
                second = coordinate(axis, axis["tickvals"][n]) or 0.0
                axis["ticktext"][n] = f"{text}{BREAK}{wall(second).year}"
            return
