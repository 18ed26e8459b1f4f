"""What is written in a cell: numbers and durations, as people write them.

Each reading raises ValueError with a sentence to show beside the cell.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from app.brewing.units import UNITS, convert
from app.durations import seconds_of

NUMBER = re.compile(r"[-+−]?\d[\d ' \u202f]*(?:[.,]\d+)*|[-+−]?[.,]\d+", re.ASCII)
TAIL = re.compile(
    r"\s*(%|°?\s*[cf]|g|gr|grams?|oz|ounces?|ml|fl\.?\s*oz|s|sec|secs|x)?\.?", re.IGNORECASE
)
OWN_UNITS = {
    "c": "°C", "°c": "°C", "f": "°F", "°f": "°F", "g": "g", "gr": "g", "gram": "g", "grams": "g",
    "oz": "oz", "ounce": "oz", "ounces": "oz", "ml": "ml", "fl oz": "US fl oz", "floz": "US fl oz",
}  # fmt: skip

NO_NUMBER = "“{}” is no number."
UNSURE = "“{}” can be read two ways: please write it without a mark for thousands."
OTHER_UNIT = "“{}” is given in {}, which is no {}."


def decimal_mark(texts: Iterable[str]) -> str:
    """The mark that stands before decimals in these cells: a comma where that is what they show."""
    commas = points = 0
    for text in texts:
        match = NUMBER.match(text.strip())
        if match:
            commas += bool(re.search(r",\d{1,2}(\D|$)|,\d{4,}", match[0])) and "." not in match[0]
            points += bool(re.search(r"\.\d{1,2}(\D|$)|\.\d{4,}", match[0])) and "," not in match[0]
    return "," if commas > points else "."


def number(text: str, decimal: str, unit: str = "", stored: str = "") -> float:
    """The number a cell says, in the unit `stored`; a unit beside the number goes before `unit`."""
    bare = text.strip().lstrip("~≈ca. ").strip() or text
    match = NUMBER.match(bare)
    tail = TAIL.fullmatch(bare[match.end() :]) if match else None
    if match is None or tail is None:
        raise ValueError(NO_NUMBER.format(text[:40]))
    value = _plain(match[0], decimal, text)
    own = OWN_UNITS.get(
        re.sub(r"[\s.]+", " ", (tail[1] or "").lower()).replace("° ", "°").strip(), ""
    )
    unit = own or unit or stored
    if not stored or unit == stored or {unit, stored} == {"g", "ml"}:
        return value
    if UNITS[unit][0] == "volume" and stored == "g":  # brewing water is weighed as it is measured
        return convert(value, unit, "ml")
    if UNITS[unit][0] != UNITS[stored][0]:
        raise ValueError(OTHER_UNIT.format(text[:40], unit, UNITS[stored][0]))
    return convert(value, unit, stored)


def _plain(written: str, decimal: str, text: str) -> float:
    digits = re.sub(r"[ ' \u202f]", "", written).replace("−", "-")
    other = "." if decimal == "," else ","
    if other in digits:
        whole = digits.split(decimal)[0].lstrip("+-")
        if not re.fullmatch(rf"\d{{1,3}}(?:{re.escape(other)}\d{{3}})+", whole):
            if digits.count(other) == 1 and decimal not in digits:  # 15,5 among 16.2
                return float(digits.replace(other, "."))
            raise ValueError(UNSURE.format(text[:40]))
        digits = digits.replace(other, "")
    if digits.count(decimal) > 1:
        raise ValueError(UNSURE.format(text[:40]))
    return float(digits.replace(decimal, "."))


def duration(text: str, decimal: str, unit: str) -> int:
    """Seconds; `unit` is "min" or "s" where the heading says in what its plain numbers are."""
    bare = text.strip()
    if unit == "min" and re.fullmatch(r"\d+(?:[.,]\d+)?", bare):
        return round(60 * _plain(bare, decimal, text))
    if unit == "s" and re.fullmatch(r"\d+[.,]\d+", bare):
        return round(_plain(bare, decimal, text))
    if re.fullmatch(r"\d{1,3}:\d{2}:00", bare):  # minutes and seconds kept as hours and minutes
        bare = bare[:-3]
    return seconds_of(bare)
