"""A brew in a line of words, wherever one of many is chosen."""

from __future__ import annotations

from typing import Any

from app.formats import Formats


def brew_in_words(row: Any, formats: Formats) -> str:
    """Its bean, when, and how much."""
    made = f"{formats.grams(row.dose_g)} in {formats.grams(row.water_g)}"
    return f"{row.bean_name}, {formats.moment(row.brewed_at, row.zone)}, {made}"
