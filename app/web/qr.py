"""A URL as a QR code, one drawing in the page that needs neither style nor script."""

from markupsafe import Markup

QUIET_MODULES = 4  # the quiet zone of ISO/IEC 18004
MODULE_PX = 7


def draw(text: str, *, stretches: bool = False) -> Markup:
    """Dark on white in either colour scheme, for cameras to read; of a size of its own, unless it
    `stretches` to where it stands."""
    import segno  # only this page needs it

    drawing = segno.make_qr(text, error="m").svg_inline(
        scale=MODULE_PX, border=QUIET_MODULES, light="#fff", svgclass=None, lineclass=None,
        omitsize=stretches,
    )  # fmt: skip
    return Markup(drawing)  # noqa: S704  segno writes numbers and nothing of the text
