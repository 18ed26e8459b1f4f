"""A picture as PNG, with a font that is there even on a machine without any."""

from functools import lru_cache
from importlib.metadata import distribution

FONT = "Arimo"


def png_of(svg: str, width_px: int) -> bytes:
    """A whole SVG file, its colours written out, drawn `width_px` wide.

    Words are in the first font of the file that the machine has, else in one we bring (Latin, Greek
    and Cyrillic); other scripts take what the machine has. Raises ValueError for what is no SVG.
    """
    from resvg_py import svg_to_bytes

    return svg_to_bytes(
        svg_string=svg, width=width_px, font_files=[_font_file()], sans_serif_family=FONT
    )


@lru_cache
def _font_file() -> str:
    package = distribution(f"fontpkg-{FONT.lower()}")
    return str(package.locate_file(f"fontpkg_{FONT.lower()}/files/{FONT}[wght].ttf"))
