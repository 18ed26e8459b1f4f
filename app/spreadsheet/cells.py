"""What is written in a cell: numbers, days and times, as people write them.

Each reading raises ValueError with a sentence to show beside the cell.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, time, timedelta

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
MONTHS = (
    ("jan",), ("feb", "fév", "fev"), ("mar", "mär", "mrz"), ("apr", "avr"), ("may", "mai"),
    ("jun", "juin"), ("jul", "juil"), ("aug", "aoû", "aou"), ("sep",), ("oct", "okt"), ("nov",),
    ("dec", "dez", "déc"),
)  # fmt: skip
PARTS = re.compile(r"(\d{1,4})\s*[-./]\s*(\d{1,2})\s*[-./]\s*(\d{1,4})", re.ASCII)
NAMED_FIRST = re.compile(r"([^\W\d_]{3,})\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{2,4})")
NAMED_SECOND = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[.\s-]*\s*([^\W\d_]{3,})\.?[,\s-]+(\d{2,4})")
WEEKDAY = re.compile(
    r"^(?:mon|tue|wed|thu|fri|sat|sun|mo|di|mi|do|fr|sa|so)[a-z]*[.,]?\s+", re.IGNORECASE
)
CLOCK = re.compile(
    r"(\d{1,2})[:.h](\d{2})?(?:[:.]\d{2}(?:\.\d+)?)?\s*(am|pm|a\.m\.|p\.m\.|uhr)?", re.IGNORECASE
)
HOUR = re.compile(r"(\d{1,2})\s*(am|pm|a\.m\.|p\.m\.|uhr|h)", re.IGNORECASE)
SERIAL = re.compile(r"(\d{5})(?:\.(\d+))?", re.ASCII)
FIRST_DAY = date(
    1899, 12, 30
)  # day 0 of the numbers that spreadsheets keep dates as, after 1900-03-01

NO_NUMBER = "“{}” is no number."
UNSURE = "“{}” can be read two ways: please write it without a mark for thousands."
OTHER_UNIT = "“{}” is given in {}, which is no {}."
NO_DAY = "“{}” is no date that can be read: please write it as 2026-03-05."
WRONG_DAY = "“{}” is no day of the calendar, with {} first."
NO_TIME = "“{}” is no time of day: please write it as 7:30."
ORDERS = {"dmy": "the day", "mdy": "the month"}


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


def day_order(texts: Iterable[str]) -> str | None:
    """ "dmy" or "mdy", as the cells themselves show; None where they can be read both ways."""
    seen: set[str] = set()
    unsure = dotted = False
    for text in texts:
        match = PARTS.match(WEEKDAY.sub("", text.strip()))
        if match is None or len(match[1]) > 2:
            continue
        first, second = int(match[1]), int(match[2])
        dotted |= "." in match[0]
        if first > 12 >= second:
            seen.add("dmy")
        elif second > 12 >= first:
            seen.add("mdy")
        else:
            unsure = True
    if len(seen) == 1:
        return seen.pop()
    if dotted or (not unsure and not seen):
        return "dmy"
    return None


def day(text: str, order: str) -> date:
    """The day a cell says; what follows it, such as a time, is left alone."""
    bare = WEEKDAY.sub("", text.strip())
    if (match := SERIAL.fullmatch(bare)) and 20_000 <= int(match[1]) <= 80_000:
        return FIRST_DAY + timedelta(days=int(match[1]))
    if match := PARTS.match(bare):
        first, second, third = match.groups()
        if len(first) == 4:
            return _date(int(first), int(second), int(third), text, order)
        numbers = (int(second), int(first)) if order == "dmy" else (int(first), int(second))
        return _date(_year(third), *numbers, text, order)
    if match := NAMED_FIRST.match(bare):
        return _date(_year(match[3]), _month(match[1], text), int(match[2]), text, order)
    if match := NAMED_SECOND.match(bare):
        return _date(_year(match[3]), _month(match[2], text), int(match[1]), text, order)
    raise ValueError(NO_DAY.format(text[:40]))


def _date(year: int, month: int, number: int, text: str, order: str) -> date:
    try:
        found = date(year, month, number)
    except ValueError:
        raise ValueError(WRONG_DAY.format(text[:40], ORDERS[order])) from None
    if not 1970 <= found.year <= 2200:
        raise ValueError("Please choose a year between 1970 and 2200.")
    return found


def _year(text: str) -> int:
    return int(text) + (2000 if len(text) == 2 else 0)


def _month(name: str, text: str) -> int:
    low = name.lower()
    for number_, starts in enumerate(MONTHS, start=1):
        if low.startswith(starts):
            return number_
    raise ValueError(NO_DAY.format(text[:40]))


def clock(text: str) -> time:
    """The time of day a cell says alone."""
    bare = text.strip().lower()
    match = CLOCK.fullmatch(bare) or HOUR.fullmatch(bare)
    if match is None:
        raise ValueError(NO_TIME.format(text[:40]))
    hour = int(match[1])
    minute = int(match[2] or 0) if match.re is CLOCK else 0
    half = (match[match.re.groups] or "").replace(".", "")
    if half in ("am", "pm") and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half == "pm" else 0)
    if hour > 23 or minute > 59:
        raise ValueError(NO_TIME.format(text[:40]))
    return time(hour, minute)


def clock_after_day(text: str) -> time | None:
    """The time that follows a day in one cell, if one does."""
    bare = text.strip()
    if match := re.fullmatch(r"(\d{5})\.(\d+)", bare):
        minutes = round(float(f"0.{match[2]}") * 1440)
        return time(minutes // 60 % 24, minutes % 60)
    match = re.search(
        r"(?:[T,\s]|^)\s*(\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?(?:\s*[ap]\.?m\.?)?)$",
        bare,
        re.IGNORECASE,
    )
    return clock(match[1]) if match else None


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
