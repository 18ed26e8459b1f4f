"""How values are written on a page. One `Formats` a locale; plain string work, no surprises.

Babel gives the locale's symbols once; writing a number is then quick enough for long lists.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from zoneinfo import ZoneInfo

from babel import Locale, UnknownLocaleError
from babel.numbers import get_decimal_symbol

from .money import decimals, from_minor

DASH = "–"


class Formats:
    def __init__(self, locale: str) -> None:
        try:
            self.locale = Locale.parse(locale.replace("-", "_"))
        except (ValueError, UnknownLocaleError):
            self.locale = Locale.parse("en")
        self.point = get_decimal_symbol(self.locale)
        self.months = self.locale.months["format"]["abbreviated"]
        self.weekdays = self.locale.days["format"]["abbreviated"]

    def number(self, value: float | None, digits: int = 0) -> str:
        """At most `digits` after the point, no empty tail: 11, 11.5."""
        if value is None:
            return DASH
        text = f"{value:.{digits}f}"
        if digits:
            text = text.rstrip("0").rstrip(".")
        return ("0" if text == "-0" else text).replace(".", self.point).replace("-", "−")

    def fixed(self, value: float | None, digits: int = 0) -> str:
        """Exactly `digits` after the point, for columns of figures: 1.30."""
        if value is None:
            return DASH
        return f"{value:.{digits}f}".replace(".", self.point).replace("-", "−")

    def grams(self, value: float | None) -> str:
        return DASH if value is None else f"{self.number(value, 1)} g"

    def typed(self, value: float | None, digits: int = 3) -> str:
        """A number as one would type it into a field."""
        return "" if value is None else self.number(value, digits).replace("−", "-")

    def clock(self, seconds: float | None) -> str:
        if seconds is None:
            return DASH
        minutes, rest = divmod(round(seconds), 60)
        hours, minutes = divmod(minutes, 60)
        return f"{hours}:{minutes:02d}:{rest:02d}" if hours else f"{minutes}:{rest:02d}"

    def day(self, value: date | None) -> str:
        if value is None:
            return DASH
        return f"{value.day} {self.months[value.month]} {value.year}"

    def weekday(self, value: date) -> str:
        return f"{self.weekdays[value.weekday()]} {self.day(value)}"

    def moment(self, value: datetime | None, zone: str) -> str:
        if value is None:
            return DASH
        local = value.astimezone(ZoneInfo(zone))
        return f"{self.day(local.date())}, {local.hour}:{local.minute:02d}"

    def hour(self, value: datetime, zone: str) -> str:
        """The time of day on the wall."""
        local = value.astimezone(ZoneInfo(zone))
        return f"{local.hour}:{local.minute:02d}"

    def money(self, minor: float | None, currency: str) -> str:
        if minor is None:
            return DASH
        amount = from_minor(round(minor), currency)
        return f"{self.fixed(amount, decimals(currency))} {currency}"

    def filters(self) -> dict[str, Callable[..., str]]:
        return {
            "number": self.number,
            "fixed": self.fixed,
            "grams": self.grams,
            "typed": self.typed,
            "clock": self.clock,
            "day": self.day,
            "weekday": self.weekday,
            "moment": self.moment,
            "hour": self.hour,
            "money": self.money,
            "ago_days": ago_days,
            "ordinal": ordinal,
        }


def ago_days(days: int | None) -> str:
    if days is None:
        return DASH
    if days <= 0:
        return "today" if days == 0 else f"in {-days} days"
    return "yesterday" if days == 1 else f"{days} days ago"


def ordinal(n: int) -> str:
    """1st, 2nd, 3rd, 4th, 11th, 22nd."""
    if 10 <= n % 100 <= 20:
        return f"{n}th"
    return f"{n}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(n % 10, 'th') }"
