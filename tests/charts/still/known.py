"""What of a figure the drawer draws; whatever else a figure says would be lost in its picture."""

from __future__ import annotations

from app.charts.figure import Figure

TRACE = {
    "type", "mode", "x", "y", "name", "line", "marker", "fill", "fillcolor", "error_x", "error_y",
    "opacity", "showlegend", "cliponaxis", "connectgaps", "hoverinfo", "text", "textposition",
    "textfont", "yaxis",
}  # fmt: skip
PARTS: dict[str, set[str]] = {
    "line": {"color", "width", "dash", "shape"},
    "marker": {"symbol", "size", "color", "line"},
    "textfont": {"color", "size", "weight"},
    "error_x": {"type", "symmetric", "array", "arrayminus", "color", "thickness", "width"},
}
PARTS["error_y"] = PARTS["error_x"]
LAYOUT = {"height", "showlegend", "shapes", "annotations", "margin"}
AXIS = {
    "title", "type", "range", "domain", "anchor", "rangemode", "tickvals", "ticktext", "dtick",
    "tickformat", "categoryorder", "categoryarray",
}  # fmt: skip
SHAPE = {
    "type", "xref", "yref", "x0", "x1", "y0", "y1", "line", "fillcolor", "layer",
}  # fmt: skip
NOTE = {"text", "showarrow", "font", "xref", "yref", "x", "y", "xanchor", "yanchor"}
VALUES: dict[str, set[object]] = {
    "type": {"scatter"},
    "mode": {"lines", "markers", "lines+markers", "markers+text"},
    "fill": {"tonexty"},
    "connectgaps": {False},
    "layer": {"below", "above"},
    "dash": {"solid", "dash", "dot", "dashdot", "longdash"},
    "shape": {"linear", "hv"},
    "symbol": {
        "circle", "circle-open", "square", "square-open", "diamond", "diamond-open", "triangle-up",
    },
}  # fmt: skip


def unknown(figure: Figure) -> list[str]:
    """Each key, or value of a choice, that would not be drawn."""
    found = [f"{key}" for key in figure if key not in ("data", "layout")]
    for trace in figure["data"]:
        found += _keys("data", trace, TRACE) + _values(
            trace, ("type", "mode", "fill", "connectgaps")
        )
        for name, part in trace.items():
            if name in PARTS:
                found += _keys(name, part, PARTS[name]) + _values(part, ("dash", "shape", "symbol"))
    layout = figure.get("layout", {})
    for name, part in layout.items():
        if name[1:5] == "axis":
            found += _keys(name, part, AXIS)
        elif name not in LAYOUT:
            found.append(f"layout {name}")
    for shape in layout.get("shapes", ()):
        found += _keys("shape", shape, SHAPE) + _values(shape["line"], ("dash",))
        found += [] if shape["type"] in ("line", "rect") else [f"shape {shape['type']}"]
    for note in layout.get("annotations", ()):
        found += _keys("note", note, NOTE)
    return found


def _keys(where: str, part: Figure, known: set[str]) -> list[str]:
    return [f"{where} {key}" for key in part if key not in known]


def _values(part: Figure, keys: tuple[str, ...]) -> list[str]:
    return [f"{key} {part[key]}" for key in keys if key in part and part[key] not in VALUES[key]]
