"""The setups of two brews as lines of text: cup A, which setting, cup B."""

from dataclasses import dataclass

from app.formats import Formats, ordinal
from app.journal.pairs.fairness import Fairness, State
from app.journal.pairs.pair import Side
from app.journal.pairs.setup import LABELS

OPEN = ("differs", "follows", "close", "alike", "unknown")


@dataclass(frozen=True, slots=True)
class Line:
    """One setting of both cups; an empty text means that it was not noted."""

    label: str
    a: str
    b: str
    state: State


def lines(a: Side, b: Side, fairness: Fairness, formats: Formats) -> tuple[list[Line], list[Line]]:
    """What is not quite equal, the weightiest first; and what is the same in both."""
    noted = [
        Line(label, setting_text(name, a, formats), setting_text(name, b, formats), state)
        for name, label in LABELS.items()
        if (state := fairness.states[name]) != "blank"
    ]
    apart = [line for line in noted if line.state in OPEN]
    apart.sort(key=lambda line: OPEN.index(line.state))
    return apart, [line for line in noted if line.state not in OPEN and line.a]


def setting_text(name: str, side: Side, formats: Formats) -> str:
    """What was set for a field of Setup; empty where it was not noted."""
    details = side.details
    match name:
        case "bag_id":
            return details.bean_name
        case "first_brewer_id":
            return details.brewer_name
        case "grinder_id":
            return details.grinder_name or ""
        case "water_id":
            return details.water_name or ""
        case "age_days":
            return _rest(side)
        case "stack":
            return " + ".join(f"{use.material}, {use.pack_name}" for use in side.stack)
        case "use":
            return " + ".join(ordinal(use.number) for use in side.stack if use.wears)
        case "flipped":
            return "flipped" if side.row.flipped else "upright"
        case "steps":
            recipe, number = details.recipe_name, details.revision_number
            return f"{recipe}, revision {number}" if recipe else ""
    return number_text(name, getattr(side.row, name), formats)


def _rest(side: Side) -> str:
    if side.rest is None:
        return "roast day not noted"
    frozen = f", {side.rest.frozen_days} frozen" if side.rest.frozen_days else ""
    return f"{side.rest.days} day{'' if side.rest.days == 1 else 's'}{frozen}"


def number_text(name: str, value: float | str | None, formats: Formats) -> str:
    """A value of the brew's field `name`, which is a number or written as it was typed."""
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
