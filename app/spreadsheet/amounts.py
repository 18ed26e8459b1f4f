"""The numbers of a line: amounts as stored and within their bounds, ratio, grind and score.

Each reading of a text raises ValueError with a sentence to show beside the cell.
"""

from __future__ import annotations

import re

from app.brewing import bounds
from app.spreadsheet import cells
from app.spreadsheet.fields import KNOWN, FieldFacts
from app.spreadsheet.line import Cells
from app.spreadsheet.matching import SCALES, Matching

RATIO = re.compile(r"\s*(?:1\s*[:/]\s*)?(\d+(?:[.,]\d+)?)(?:\s*[:/]\s*1)?\s*", re.ASCII)
GRINDS = {"mittel": "medium", "fein": "fine", "grob": "coarse", "med": "medium"}
LUKEWARM_C = 37.8  # 100 °F

BETWEEN = "“{}” is out of bounds: {} must be between {:g} and {:g}{}."
NO_WHOLE = "“{}” is no whole number."
NO_RATIO = "“{}” is no ratio: please write it as 1:15.8 or 15.8."
TOO_LONG = "This is longer than {} letters."
OFF_SCALE = "“{}” is not on the scale from {} to {}."
MIXED = "“{0}” stands among °F and may be °C: please write it as {0} °C or {0} °F."

Amounts = dict[str, float | int | str]


class AmountReader:
    """Reads the numbers of lines as `matching` says; `hot`: among °F there is hot water."""

    def __init__(self, matching: Matching, hot: bool) -> None:
        self.matching, self.hot = matching, hot

    def amounts(self, line: Cells) -> Amounts:
        """What a brew stores, by field; a ratio gives what is missing of dose and water."""
        read: Amounts = {}
        for name, facts in KNOWN.items():
            if name in line.places and name != "filter_use":
                value = self.whole_or_amount(line, name, facts)
                if value is not None:
                    read[name] = value
        ratio = line.read("ratio", _ratio)
        if ratio:
            dose, water = read.get("dose_g"), read.get("water_g")
            if dose is not None and water is None and not line.text("water_g"):
                read["water_g"] = _by_ratio(line, "water_g", float(dose) * ratio)
            elif water is not None and dose is None and not line.text("dose_g"):
                read["dose_g"] = _by_ratio(line, "dose_g", float(water) / ratio)
        _read_grind(line, read)
        return read

    def whole_or_amount(self, line: Cells, name: str, facts: FieldFacts) -> float | int | None:
        if facts.kind not in ("amount", "duration", "whole"):
            return None
        return line.read(name, lambda text: self._amount(text, name, facts, line.places[name]))

    def liking(self, line: Cells) -> tuple[int | None, str]:
        """Liking from 1 to 9, and what was written where that is not the same."""
        low, high = SCALES[self.matching.scale]
        value = line.read("liking", lambda written: self._score(written, low, high))
        if value is None:
            return None, ""
        liking = int(1 + 8 * (value - low) / (high - low) + 0.5)
        same = (low, high) == bounds.LIKING and value == liking
        written = f"Score as written: {line.text('liking')} ({low} to {high})"
        return liking, "" if same else written

    def _amount(self, text: str, name: str, facts: FieldFacts, place: int) -> float | int:
        unit = self.matching.columns[place].unit
        if facts.kind == "duration":
            return _bounded(cells.duration(text, self.matching.decimal, unit), facts, text)
        value = cells.number(text, self.matching.decimal, unit, facts.unit)
        if unit == "°F" and self.hot and value < LUKEWARM_C and text[-1].isdigit():
            raise ValueError(MIXED.format(text[:40]))
        if name == "tds_pct" and 0 < value < 0.05 and "%" in text:
            value *= 100
        if facts.kind == "whole":
            if value != int(value):
                raise ValueError(NO_WHOLE.format(text[:40]))
            return int(_bounded(value, facts, text))
        return _bounded(round(value, 6), facts, text)

    def _score(self, text: str, low: int, high: int) -> float:
        stars = text.strip()
        if stars and set(stars) <= {"★", "☆", "*"}:
            value = float(len(stars) - stars.count("☆"))
        else:
            value = cells.number(re.sub(r"\s*/\s*(5|9|10|100)$", "", text), self.matching.decimal)
        if not low <= value <= high:
            raise ValueError(OFF_SCALE.format(text[:40], low, high))
        return value


def grind_word(text: str) -> str:
    """The trade's word for a grind; empty where the text is none."""
    low = " ".join(GRINDS.get(word, word) for word in text.lower().replace("-", " ").split())
    word = low.replace(" ", "-")
    return word if word in bounds.GRINDS else ""


def _read_grind(line: Cells, read: Amounts) -> None:
    """A grind in the trade's words, or what else stands there as the grinder's setting."""
    text = line.text("grind")
    longest = KNOWN["grind_setting"].longest
    if word := grind_word(text):
        read["grind"] = word
    elif text and not line.text("grind_setting"):
        if len(text) <= longest:
            read["grind_setting"] = text
        else:
            line.wrong("grind", TOO_LONG.format(longest))


def _ratio(text: str) -> float:
    match = RATIO.fullmatch(text)
    value = float(match[1].replace(",", ".")) if match else 0.0
    if not 1 <= value <= 200:
        raise ValueError(NO_RATIO.format(text[:40]))
    return value


def _by_ratio(line: Cells, name: str, value: float) -> float:
    try:
        return round(float(_bounded(value, KNOWN[name], f"{value:g}")), 3)
    except ValueError as error:
        line.wrong("ratio", str(error))
        return value


def _bounded(value: float, facts: FieldFacts, text: str) -> float | int:
    low, high = facts.bounds or (float("-inf"), float("inf"))
    if not low <= value <= high:
        unit = f" {facts.unit}" if facts.unit else ""
        raise ValueError(BETWEEN.format(text[:40], facts.label.lower(), low, high, unit))
    return value
