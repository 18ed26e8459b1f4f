"""The marks of an axis of a figure: those it asks for, or those that have room."""

from app.charts.figure import Figure
from app.charts.still.days import days, hours
from app.charts.still.frame import Frame
from app.charts.still.letters import BREAK, label, literal
from app.charts.still.signs import Signs
from app.charts.still.ticks import Stretch, Ticks, given, linear, logarithmic
from app.charts.still.values import coordinate, ends, place, wall, written

NAME_ROOM = 104.0  # for words beside an upright axis


def mark(axis: Figure, signs: Signs, pixels: float, *, upright: bool) -> None:
    """Put the marks and their words into the axis, instead of what asked for them."""
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
        return given(stretch, *_asked(axis), signs)
    if axis["type"] == "category":
        names = axis["categoryarray"]
        places = [float(n) for n, _ in enumerate(names)]
        return Ticks(places, names) if stretch.upright else given(stretch, places, names, signs)
    if axis["type"] == "date":
        return (hours if "tickformat" in axis else days)(stretch, signs)
    if axis["type"] == "log":
        return logarithmic(stretch, signs)
    return linear(stretch, signs, axis.get("dtick", 0.0))


def _asked(axis: Figure) -> tuple[list[float], list[str]]:
    """Where the axis has values for them, with their words."""
    words = axis.get("ticktext") or [f"{value:g}" for value in axis["tickvals"]]
    asked = [(coordinate(axis, v), text) for v, text in zip(axis["tickvals"], words, strict=False)]
    known = [(at, text) for at, text in asked if at is not None]
    return [at for at, _ in known], [text for _, text in known]


def leave_out_what_sticks_out(axis: Figure, frame: Frame) -> None:
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
