"""Pictures as PNG: of the right size, with their lines and words, on a machine without fonts."""

from __future__ import annotations

import re
import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pytest
from flask import Flask
from PIL import Image, ImageChops

from app.web.pictures import picture_file, picture_png
from app.web.png import png_of
from tests.charts.still.gallery import figures

GALLERY = figures()
ROOT = Path(__file__).parent.parent.parent
INK, TABLE = (0x1A, 0x2B, 0x3C), (0xFF, 0xFF, 0xFF)
WORDS = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="200" height="60" viewBox="0 0 200 60" '
    'font-family="NoSuchFont,sans-serif" font-size="20" fill="#1a2b3c">'
    '<rect width="100%" height="100%" fill="#ffffff"/>{}</svg>'
)


def read(png: bytes) -> Image.Image:
    return Image.open(BytesIO(png)).convert("RGB")


def inked(png: bytes) -> tuple[int, int, int, int] | None:
    """The box round all that is not background; None for a blank picture."""
    found = read(png)
    return ImageChops.difference(found, Image.new("RGB", found.size, TABLE)).getbbox()


def words(text: str, weight: int = 400) -> str:
    return WORDS.format(f'<text x="10" y="40" font-weight="{weight}">{text}</text>')


def test_it_is_as_wide_as_asked_and_keeps_its_shape() -> None:
    for width in (200, 400, 1000):
        assert read(png_of(words("A"), width)).size == (width, width * 60 // 200)


def test_nothing_is_drawn_of_nothing() -> None:
    assert inked(png_of(WORDS.format(""), 400)) is None


def test_words_are_drawn_where_they_belong() -> None:
    box = inked(png_of(words("H"), 400))
    assert box is not None
    left, top, right, bottom = box
    assert 20 <= left < right <= 60  # at x 10, twice the size, at most a square wide
    assert 40 < top < bottom <= 82
    assert read(png_of(words("H"), 400)).getpixel((left + 2, bottom - 4)) == INK


@pytest.mark.parametrize("sign", [*"°µ–−≈×±·’äÖßéñŁčőДΩ½²≤≥"])
def test_the_signs_of_our_charts_and_of_names_are_in_the_font(sign: str) -> None:
    missing = png_of(words("\ue123"), 400)
    assert png_of(words(sign), 400) != missing
    assert inked(png_of(words(sign), 400)) is not None


def test_bold_is_bolder() -> None:
    dark = [sum(v < 128 for v in read(png_of(words("AB", w), 400)).convert("L").tobytes())
            for w in (400, 700)]  # fmt: skip
    assert dark[1] > 1.2 * dark[0]


def test_a_machine_without_fonts_draws_the_same_words(tmp_path: Path) -> None:
    """Each of the folders that fonts are looked for in is empty there."""
    draw = (
        "import sys, resvg_py; from app.web.png import png_of; real = resvg_py.svg_to_bytes\n"
        "resvg_py.svg_to_bytes = lambda **given: real(**given, skip_system_fonts=True)\n"
        "sys.stdout.buffer.write(png_of(sys.stdin.read(), 400))"
    )
    made = subprocess.run(
        [sys.executable, "-c", draw],
        input=words("Strength").encode(),
        capture_output=True,
        check=True,
        cwd=ROOT,
    )
    assert made.stdout == png_of(words("Strength"), 400)


@pytest.mark.parametrize("broken", ["", "not a picture", "<svg", "<html></html>"])
def test_what_is_no_picture_is_refused(broken: str) -> None:
    with pytest.raises(ValueError, match=r"(?i)svg|xml|root|empty|unknown|unclosed|parse"):
        png_of(broken, 400)


def test_a_page_gets_it_light_and_sharp(app: Flask) -> None:
    figure = GALLERY["steep"]
    with app.test_request_context():
        svg, png = picture_file(figure, "A chart", look="light"), picture_png(figure, "A chart")
    assert read(png).size[0] == 1280
    assert png == png_of(svg, 1280)


@pytest.mark.parametrize("name", GALLERY)
def test_every_chart_becomes_a_png_with_its_words(app: Flask, name: str) -> None:
    with app.test_request_context():
        svg = picture_file(GALLERY[name], "A chart", look="light")
    wordless = re.sub(r"<text.*?</text>", "", svg, flags=re.DOTALL)
    whole, lines = read(png_of(svg, 320)), read(png_of(wordless, 320))
    assert ImageChops.difference(whole, lines).getbbox() is not None, "its words are seen"
    assert len(lines.getcolors(100_000) or ()) > 1, "its lines are seen"
