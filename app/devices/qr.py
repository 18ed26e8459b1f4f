"""An address as a QR code, drawn as one path so that a page needs neither style nor script."""

from __future__ import annotations

from dataclasses import dataclass

QUIET_MODULES = 4  # the quiet zone of ISO/IEC 18004


@dataclass(frozen=True)
class Drawing:
    """`side` in modules, the quiet zone included; `path` has one square a dark module."""

    side: int
    path: str


def draw(address: str) -> Drawing:
    import segno

    code = segno.make_qr(address, error="m")
    rows = list(code.matrix_iter(border=QUIET_MODULES))
    dark = [(x, y) for y, row in enumerate(rows) for x, module in enumerate(row) if module]
    return Drawing(len(rows), "".join(f"M{x} {y}h1v1h-1z" for x, y in dark))
