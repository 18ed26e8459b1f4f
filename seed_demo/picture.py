"""The one photo of the demo: no photo, but two mugs seen from above, drawn."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw

ALT = "Two mugs side by side on a wooden table, seen from above (a drawing)"
SIZE = (640, 420)
FINER = 2  # drawn so many times larger, then made small, for soft edges
WOOD, JOINT, SHADOW = (206, 178, 141), (184, 153, 115), (166, 137, 102)
COFFEE, SHINE = (58, 35, 22), (92, 60, 39)
MUGS = (((205, 215), (52, 92, 143)), ((440, 215), (205, 96, 32)))  # middle and colour
RADIUS, WALL = 105, 14


def two_mugs() -> bytes:
    """The picture as a JPEG, the same bytes every time on one machine."""
    from PIL import Image, ImageDraw

    width, height = SIZE
    picture = Image.new("RGB", (width * FINER, height * FINER), WOOD)
    draw = ImageDraw.Draw(picture)
    for y in range(70, height, 105):
        draw.line([(0, y * FINER), (width * FINER, (y + 6) * FINER)], JOINT, 3 * FINER)
    for (x, y), colour in MUGS:
        _mug(draw, x, y, colour)
    jpeg = BytesIO()
    picture.resize(SIZE, Image.Resampling.BILINEAR).save(jpeg, "JPEG", quality=80)
    return jpeg.getvalue()


def _mug(draw: ImageDraw, x: int, y: int, colour: tuple[int, int, int]) -> None:
    _disc(draw, x + 12, y + 14, RADIUS, SHADOW)
    handle = [n * FINER for n in (x + 60, y - 96, x + 118, y - 40)]
    draw.rounded_rectangle(handle, 16 * FINER, colour)
    _disc(draw, x, y, RADIUS, colour)
    _disc(draw, x, y, RADIUS - WALL, COFFEE)
    shine = [n * FINER for n in (x - 62, y - 62, x + 62, y + 62)]
    draw.arc(shine, 200, 260, SHINE, 7 * FINER)


def _disc(draw: ImageDraw, x: int, y: int, radius: int, colour: tuple[int, int, int]) -> None:
    draw.ellipse([n * FINER for n in (x - radius, y - radius, x + radius, y + radius)], colour)
