"""One row of the table that `make honesty` prints: what was bounded, and what was found."""

from __future__ import annotations

from typing import NamedTuple


class Figure(NamedTuple):
    """`bound` as the table shows it, such as "≤ .050"; `found` likewise."""

    what: str
    bound: str
    found: str
    holds: bool


def at_most(what: str, bound: float, found: float) -> Figure:
    return Figure(what, f"≤ {bound:.3f}", f"{found:.4f}", found <= bound)


def at_least(what: str, bound: float, found: float) -> Figure:
    return Figure(what, f"≥ {bound:.3f}", f"{found:.4f}", found >= bound)
