"""What stands round the points: grid, words of the axes, shapes, notes, legend."""

from collections.abc import Iterator
from html import unescape

from app.charts.figure import Figure
from app.charts.still.frame import GAP, ROW, SWATCH
from app.charts.still.letters import LINE, SIZE, cut, lines, literal, plain
from app.charts.still.marks import tspans
from app.charts.still.panel import Panel, Sheet
from app.charts.still.pen import Pen, number, percent
from app.charts.still.symbols import USUAL_WIDTH, stroke, symbol
from app.charts.still.values import coordinates, place

MIDDLE = 0.36 * SIZE  # from the middle of a letter to its line
TITLE_SIZE = 13
SWATCH_WIDTH = 22
ANCHORS = {"left": "start", "center": "middle", "right": "end"}


def grid(sheet: Sheet, wide: float) -> str:
    pen = Pen()
    for panel in sheet.panels:
        for share in _marks(panel.x_axis):
            pen.move(share * wide, panel.top)
            pen.down(panel.bottom)
        for share in _marks(panel.y_axis):
            pen.move(0, panel.bottom - share * (panel.bottom - panel.top))
            pen.across(wide)
    return pen.path and f'<path fill="none" stroke="var(--line)" d="{pen.path}"/>'


def _marks(axis: Figure) -> list[float]:
    return [place(axis, at) for at in coordinates(axis, axis["tickvals"]) if at is not None]


def axis_words(sheet: Sheet) -> Iterator[str]:
    frame, under = sheet.frame, sheet.layout["xaxis"]
    below = frame.height - frame.bottom + GAP + SIZE - 1
    yield '<g text-anchor="middle">'
    for share, text in zip(_marks(under), under["ticktext"], strict=True):
        if text:
            x = percent(share)
            yield f'<text x="{x}" y="{number(below)}">{tspans(text, x)}</text>'
    if title := under["title"]["text"]:
        y = frame.height - GAP
        yield f'<text x="50%" y="{y}" font-size="{TITLE_SIZE}">{plain(title)}</text>'
    for panel in sheet.panels:
        if title := panel.y_axis["title"]["text"]:
            place_at = f"{number(TITLE_SIZE - frame.left)} {number((panel.top + panel.bottom) / 2)}"
            yield (
                f'<text transform="translate({place_at})rotate(-90)" '
                f'font-size="{TITLE_SIZE}">{plain(title)}</text>'
            )
    yield '</g><g text-anchor="end">'
    for panel in sheet.panels:
        for share, text in zip(_marks(panel.y_axis), panel.y_axis["ticktext"], strict=True):
            rise = (lines(text) - 1) * SIZE * LINE / 2
            line = panel.bottom - share * (panel.bottom - panel.top) + MIDDLE - rise
            yield f'<text x="-{GAP}" y="{number(line)}">{tspans(text, f"-{GAP}")}</text>'
    yield "</g>"


def shapes(sheet: Sheet, wide: float, layer: str) -> Iterator[str]:
    for shape in sheet.layout["shapes"]:
        if shape["layer"] != layer:
            continue
        (x0, y0), (x1, y1) = sheet.corners(shape)
        pen = Pen()
        if shape["type"] == "rect":
            pen.move(x0 * wide, y0)
            pen.across(x1 * wide)
            pen.down(y1)
            pen.across(x0 * wide)
        else:
            pen.through([(x0 * wide, y0), (x1 * wide, y1)])
        fill, end = (shape["fillcolor"], "z") if shape["type"] == "rect" else ("none", "")
        yield f'<path fill="{fill}" {stroke(shape["line"], "var(--ink)")} d="{pen.path}{end}"/>'


def notes(sheet: Sheet) -> Iterator[str]:
    for note in sheet.layout["annotations"]:
        x, y = sheet.of_note(note)
        size, rows = note["font"]["size"], lines(note["text"])
        first = {"top": size + 2, "middle": MIDDLE - (rows - 1) * size * LINE / 2}.get(
            note["yanchor"], -0.4 * size - (rows - 1) * size * LINE
        )
        aside = {"left": 3, "right": -3}.get(note["xanchor"], 0)
        by = f' dx="{aside}"' if aside else ""
        at = percent(x)
        yield (
            f'<text x="{at}" y="{number(y + first)}"{by} text-anchor="{ANCHORS[note["xanchor"]]}" '
            f'font-size="{size:g}" fill="{note["font"].get("color", "var(--ink)")}">'
            f"{tspans(note['text'], at, size)}</text>"
        )


def legend(sheet: Sheet, colours: list[str]) -> Iterator[str]:
    """What is drawn how; it stays where the chart becomes live."""
    if not sheet.frame.legend:
        return
    yield f'<g class="key">{"".join(_entries(sheet, colours))}</g>'


def _entries(sheet: Sheet, colours: list[str]) -> Iterator[str]:
    frame = sheet.frame
    names = {id(trace): colour for trace, colour in zip(sheet.data, colours, strict=True)}
    above = sheet.layout["legend"]["y"] - 1
    top = frame.top - above * frame.plot_height - ROW * len(frame.legend)
    for row, entries in enumerate(frame.legend):
        middle = top + (row + 0.5) * ROW
        for trace, x in entries:
            swatch = "".join(_swatch(trace, names[id(trace)]))
            said = plain(literal(cut(unescape(trace["name"]), frame.legend_room - SWATCH)))
            yield (
                f'<g transform="translate({number(x)} {number(middle)})">{swatch}'
                f'<text x="{SWATCH_WIDTH + 5}" y="{number(MIDDLE)}">{said}</text></g>'
            )


def _swatch(trace: Figure, colour: str) -> Iterator[str]:
    half = number(SWATCH_WIDTH / 2)
    if "fill" in trace:
        yield f'<path fill="{trace["fillcolor"]}" d="M0-5h{SWATCH_WIDTH}v10H0z"/>'
    if "lines" in trace["mode"] and trace.get("line", {}).get("width", USUAL_WIDTH):
        yield f'<path {stroke(trace.get("line", {}), colour)} d="M0 0h{SWATCH_WIDTH}"/>'
    if "markers" in trace["mode"]:
        yield f'<g transform="translate({half})">{symbol(trace.get("marker", {}), colour)}</g>'


def described(panels: list[Panel]) -> str:
    """What the axes show, from where to where."""
    under = panels[0].x_axis
    said = [_reach(axis) for axis in (under, *(panel.y_axis for panel in panels))]
    text = "; ".join(filter(None, said))
    return text[:1].upper() + text[1:]


def _reach(axis: Figure) -> str:
    texts = [text.replace("<br>", " ") for text in axis["ticktext"] if text]
    title = str(axis["title"]["text"])
    if len(texts) < 2:
        return title
    return f"{title}: {texts[0]} to {texts[-1]}" if title else f"{texts[0]} to {texts[-1]}"
