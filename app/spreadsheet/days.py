"""What is written in a cell: days and times of day, as people write them.

Each reading raises ValueError with a sentence to show beside the cell.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, time, timedelta

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

NO_DAY = "“{}” is no date that can be read: please write it as 2026-03-05."
WRONG_DAY = "“{}” is no day of the calendar, with {} first."
NO_TIME = "“{}” is no time of day: please write it as 7:30."
ORDERS = {"dmy": "the day", "mdy": "the month"}


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
