"""Charts as pictures, in the household's decimal sign and the colours of its pages."""

import json
import re
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Literal, NamedTuple
from urllib.parse import urlencode

from flask import current_app, request
from jinja2.utils import htmlsafe_json_dumps
from markupsafe import Markup

from app.charts.figure import Figure
from app.formats import MONTHS
from app.web.formats import formats
from app.web.png import png_of

if TYPE_CHECKING:
    from app.charts.still.draw import Theme

Look = Literal["light", "dark", "both"]
FILE_WIDTH = 640
FEW_ROWS = 40
KEPT = 64  # pictures of the latest figures; a page has up to four
TOKEN = re.compile(r"(--[\w-]+):\s*(#[0-9a-f]{6})\b")


class Picture(NamedTuple):
    """The picture for a page, and the figure from which it becomes live."""

    svg: Markup
    json: Markup


def picture(figure: Figure, name: str, title: str) -> Picture:
    """`name` is that of no other chart on the page."""
    return _picture(json.dumps(figure), formats().point, name, title)


@lru_cache(KEPT)
def _picture(figure: str, point: str, name: str, title: str) -> Picture:
    # The first chart waits for what draws them, not the first page, which has none.
    from app.charts.still.draw import inline
    from app.charts.still.settle import settled
    from app.charts.still.signs import Signs

    made = settled(json.loads(figure), Signs(point, MONTHS))
    live = htmlsafe_json_dumps(made, json.dumps, separators=(",", ":"), ensure_ascii=False)
    return Picture(Markup(inline(made, name, title)), live)  # noqa: S704  the drawer escapes


def numbers_address(name: str, rows: Sequence[object]) -> str:
    """Where the table of this chart is, as this page leaves it out; empty where it stands here."""
    if len(rows) <= FEW_ROWS or request.method == "POST" or request.args.get("numbers") == name:
        return ""
    asked = {key: values for key, values in request.args.lists() if key != "fragment"}
    return f"{request.path}?{urlencode(asked | {'numbers': [name]}, doseq=True)}#{name}"


def picture_file(
    figure: Figure, title: str, *, look: Look = "both", width: int = FILE_WIDTH, name: str = "chart"
) -> str:
    """The same as an SVG file of its own; light or dark have no style sheet in them."""
    from app.charts.still.draw import alone
    from app.charts.still.settle import settled
    from app.charts.still.signs import Signs

    made = settled(figure, Signs(formats().point, MONTHS), width)
    light, dark = _themes(str(current_app.static_folder))
    if look == "both":
        return alone(made, title, light, dark, width=width, name=name)
    return alone(made, title, dark if look == "dark" else light, width=width, name=name)


def picture_png(figure: Figure, title: str) -> bytes:
    """The same as PNG, light, at twice the size of the file, as sharp screens want it."""
    return png_of(picture_file(figure, title, look="light"), 2 * FILE_WIDTH)


@lru_cache(1)
def _themes(static: str) -> "tuple[Theme, Theme]":
    """The colours of tokens.css, for light and for dark."""
    sheet = (Path(static) / "css" / "tokens.css").read_text(encoding="utf-8")
    light, _, dark = sheet.partition("@media screen and (prefers-color-scheme: dark)")
    return dict(TOKEN.findall(light)), dict(TOKEN.findall(dark))
