"""The unit of each number, by the name of its column, or as its model says (`info`)."""

from __future__ import annotations

from sqlalchemy import Column

from app.exchange.cells import kind

BY_END = {
    "_mg_l": "mg/L as CaCO3",
    "_per_step": "µm per step",
    "_minor": "minor units of the currency beside it, such as cents",
    "_pct": "%",
    "_g": "g",
    "_c": "°C",
    "_s": "s",
}
BY_NAME = {
    "grams": "g",
    "liking": "1 (dislike extremely) to 9 (like extremely)",
    "low": "the unit of the field it names",
    "high": "the unit of the field it names",
}
# Numbers without a unit.
SHARES = {"p_d", "alpha", "beta"}


def unit_of(column: Column[object]) -> str | None:
    """None for a text, a date, a number of a row, or a count."""
    if kind(column) not in ("number", "integer") or column.foreign_keys or column.primary_key:
        return None
    if isinstance(unit := column.info.get("unit"), str):
        return unit
    if column.name in BY_NAME:
        return BY_NAME[column.name]
    if column.name.startswith("jar_"):
        return "1 to 5, where 3 is just right"
    if column.name in SHARES:
        return "share, 0 to 1"
    return next((unit for end, unit in BY_END.items() if column.name.endswith(end)), None)
