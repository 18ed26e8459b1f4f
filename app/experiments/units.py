"""The units in which a chart shows a field of the brew."""

from app.formats import Formats
from app.web.brew_url import UNITS


def shown_in(field: str, value: float, formats: Formats) -> float:
    """A stored value in the unit that the household reads it in; a time stays in seconds."""
    return formats.shown(value, UNITS.get(field, ""))


def unit_of(field: str, formats: Formats) -> str:
    """What follows the field's name on an axis: ", °C"."""
    if field.endswith("_s"):
        return ", s"
    unit = formats.unit(UNITS.get(field, ""))
    return f", {unit}" if unit else ""
