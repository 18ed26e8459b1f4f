"""The settings of two brews as rows of text: cup A, what it is, cup B."""

from __future__ import annotations

from dataclasses import dataclass

from app.formats import Formats, ordinal
from app.journal.pairs.fairness import State
from app.journal.pairs.pair import Pair, Side
from app.journal.pairs.setup import LABELS

OPEN = ("differs", "follows", "close", "unknown")


@dataclass(frozen=True, slots=True)
class Line:
    """One setting; an empty text was not noted."""

    label: str
    a: str
    b: str
    state: State


def lines(pair: Pair, formats: Formats) -> tuple[list[Line], list[Line]]:
    """What is not quite equal, the weightiest first; and what is the same in both."""
    found = [
        Line(label, _text(name, pair.a, formats), _text(name, pair.b, formats), state)
        for name, label in LABELS.items()
        if (state := pair.fairness.states[name]) != "blank"
    ]
    apart = [line for line in found if line.state in OPEN]
    apart.sort(key=lambda line: OPEN.index(line.state))
    return apart, [line for line in found if line.state not in OPEN and line.a]


def _text(name: str, side: Side, formats: Formats) -> str:
    row = side.row
    match name:
        case "bag_id":
            return str(row.bean_name)
        case "brewer_id":
            return str(row.brewer_name)
        case "grinder_id":
            return row.grinder_name or ""
        case "water_id":
            return row.water_name or ""
        case "age_days":
            return _rest(side)
        case "stack":
            return " + ".join(f"{use.material}, {use.pack_name}" for use in side.stack)
        case "use":
            return " + ".join(ordinal(use.number) for use in side.stack if use.number)
        case "flipped":
            return "flipped" if row.flipped else "upright"
        case "steps":
            return f"{row.recipe_name}, revision {row.revision_number}" if row.recipe_name else ""
    return _number(name, getattr(row, name), formats)


def _rest(side: Side) -> str:
    if side.rest is None:
        return "roast day not noted"
    frozen = f", {side.rest.frozen_days} frozen" if side.rest.frozen_days else ""
    return f"{side.rest.days} days{frozen}"


def _number(name: str, value: float | str | None, formats: Formats) -> str:
    if value is None or isinstance(value, str):
        return value or ""
    if name == "press_effort":
        return f"{value} of 5"
    if name.endswith("_g"):
        return formats.grams(value)
    if name.endswith("_c"):
        return formats.amount(value, "°C")
    if name.endswith("_s"):
        return formats.clock(value)
    return formats.number(value)
