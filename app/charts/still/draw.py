"""A settled figure as SVG: inside a page, in its colours, or as a file of its own.

All the areas of points are one inner picture that stretches sideways with the page, strokes keep
their width; words and points of other shapes stand beside it at percentages of that width. In a
file of its own nothing stretches.
"""

import re
from collections.abc import Iterator, Mapping
from zlib import crc32

from app.charts.figure import Figure
from app.charts.still import furniture, marks
from app.charts.still.frame import STEP, framed
from app.charts.still.letters import SIZE, plain
from app.charts.still.panel import Panel, Sheet
from app.charts.still.pen import number
from app.charts.still.settle import NARROW

SERIES = 5
FAMILY = "system-ui,Roboto,&quot;Noto Sans&quot;,&quot;Liberation Sans&quot;,sans-serif"
TOKEN = re.compile(r"var\((--[\w-]+)\)")
Theme = Mapping[str, str]  # a token such as --ink, its colour


def inline(figure: Figure, name: str, title: str) -> str:
    """For a page. `name` is the page's for this chart and begins all ids in it.

    Its classes say how much room the sides take; the sheet of charts has them.
    """
    sheet = _sheet(figure, NARROW)
    sides = sheet.frame.width - sheet.frame.plot_width
    return (
        f'<svg class="still sides-{int(sides) // STEP}" role="img" height="{sheet.frame.height}" '
        f'font-size="{SIZE:g}" fill="var(--ink)" {_labels(sheet, name, title)}'
        f"{''.join(_content(sheet, name))}</svg>"
    )


def alone(
    figure: Figure, title: str, theme: Theme, dark: Theme | None = None, *,
    width: int = NARROW, name: str = "chart",
) -> str:  # fmt: skip
    """A file of its own, `width` (which the figure was settled for) wide, in the theme's colours;
    with `dark` in those where its reader wants them."""
    sheet = _sheet(figure, width)
    frame = sheet.frame
    size = f'width="{width}" height="{frame.height}"'
    drawn = (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 {width} {frame.height}" '
        f'role="img" font-family="{FAMILY}" font-size="{SIZE:g}" fill="var(--ink)" '
        f'{_labels(sheet, name, title)}<rect width="100%" height="100%" fill="var(--table)"/>'
        f'<svg x="{frame.left}" width="{number(frame.plot_width)}" height="{frame.height}" '
        f'overflow="visible">{"".join(_content(sheet, name))}</svg></svg>'
    )
    if dark is None:
        return TOKEN.sub(lambda token: theme[token[1]], drawn)
    used = sorted(set(TOKEN.findall(drawn)))
    style = (
        f"<style>#{name}-svg{{{_tokens(used, theme)}}}"
        f"@media(prefers-color-scheme:dark){{#{name}-svg{{{_tokens(used, dark)}}}}}</style>"
    )
    head, _, rest = drawn.partition(">")
    return f'{head} id="{name}-svg">{style}{rest}'


def _tokens(names: list[str], theme: Theme) -> str:
    return ";".join(f"{name}:{theme[name]}" for name in names)


def _sheet(figure: Figure, width: int) -> Sheet:
    return Sheet(figure["data"], figure["layout"], framed(figure, width))


def _labels(sheet: Sheet, name: str, title: str) -> str:
    says = furniture.described(sheet.panels)
    return (
        f'aria-labelledby="{name}-t {name}-d"><title id="{name}-t">{plain(title)}</title>'
        f'<desc id="{name}-d">{plain(says)}.</desc>'
    )


def _content(sheet: Sheet, name: str) -> Iterator[str]:
    """From the back to the front: grid, lines, points, words."""
    wide = sheet.frame.plot_width
    colours = [f"var(--series-{n % SERIES + 1})" for n, _ in enumerate(sheet.data)]
    traces = [(t, sheet.panel(t), c) for t, c in zip(sheet.data, colours, strict=True)]
    whole = (float(sheet.frame.top), sheet.frame.plot_height)
    below = [*furniture.shapes(sheet, wide, "below"), furniture.grid(sheet, wide)]
    yield _stretched(wide, whole, "".join(below))
    for panel in sheet.panels:
        own = [(t, colour) for t, at, colour in traces if at.ref == panel.ref]
        lines = "".join(_lines(panel, own, wide))
        yield _stretched(wide, (panel.top, panel.bottom - panel.top), lines)
    yield _stretched(wide, whole, "".join(furniture.shapes(sheet, wide, "above")))
    dots = "".join(marks.dots(panel, trace, colour, wide) for trace, panel, colour in traces)
    yield _stretched(wide, whole, dots, over=True)
    short = f"{crc32(name.encode()) % 46_656:x}"
    for n, (trace, panel, colour) in enumerate(traces):
        yield marks.symbols(panel, trace, colour, f"m{short}-{n}")
    for trace, panel, _ in traces:
        yield marks.words(panel, trace)
    yield from furniture.axis_words(sheet)
    yield from furniture.notes(sheet)
    yield from furniture.legend(sheet, colours)


def _lines(panel: Panel, traces: list[tuple[Figure, str]], wide: float) -> Iterator[str]:
    before = None
    for trace, colour in traces:
        if before is not None and trace.get("fill") == "tonexty":
            yield marks.filling(panel, trace, before, wide)
        for way in "xy":
            if f"error_{way}" in trace:
                yield marks.error_bars(panel, trace, way, wide)
        yield marks.line(panel, trace, colour, wide)
        before = trace


def _stretched(
    wide: float, upright: tuple[float, float], content: str, *, over: bool = False
) -> str:
    """In pixels of the area, however wide it is; only dots may reach over its edge."""
    if not content:
        return ""
    top, height = map(number, upright)
    beyond = ' overflow="visible"' if over else ""
    return (
        f'<svg y="{top}" width="100%" height="{height}" viewBox="0 {top} {number(wide)} {height}" '
        f'preserveAspectRatio="none"{beyond}>{content}</svg>'
    )
