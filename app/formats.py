"""How values are written on a page and read from a form, in the household's units and with its
decimal sign; the journal stores SI units."""

import re
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from babel import Locale, UnknownLocaleError
from babel.numbers import get_decimal_symbol

from app.brewing.sentences import Amount, Sentence
from app.brewing.units import convert
from app.money import decimals, from_minor

DASH = "–"
# What belongs together stays in one line: a number and its unit, the parts of a date.
JOINED = "\N{NO-BREAK SPACE}"
UNIT = r"(?:%|°[CF]|°dH|°Brix|m?g|kg|ml|s|min|h|µm|cm|mm|kWh|m?g/L|EUR)(?![\w/])"
RATIO = re.compile(r"\b1 : (?=\d|\Z)")
BEFORE_UNIT = re.compile(rf"(?<=\d) (?={UNIT})")
DECIMAL_POINT = re.compile(r"(?<=\d)\.(?=\d)")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
# An ounce is some 28 g, so it takes two more digits to write as precisely as in grams.
MORE_DIGITS = {"oz": 2, "US fl oz": 2, "imperial fl oz": 2}
STORED_DIGITS = 3
TYPED_DIGITS = 5


@dataclass(frozen=True)
class Units:
    """The units in which masses, volumes and temperatures are written."""

    mass: str = "g"
    volume: str = "ml"
    temperature: str = "°C"


def decimal_point(locale: str) -> str:
    """The decimal sign of a locale such as "de" or "pt-BR"; a point where it is unknown."""
    try:
        return str(get_decimal_symbol(Locale.parse(locale.replace("-", "_"))))
    except (ValueError, UnknownLocaleError):
        return "."


class Formats:
    """Writes and reads values for one locale and choice of units; `stored` names the SI unit.

    `space` stands within dates and before units: on pages one that no line ends at.
    """

    def __init__(self, locale: str = "en", units: Units | None = None, space: str = JOINED) -> None:
        units, self.space = units or Units(), space
        self.locale, self.units, self.point = locale, units, decimal_point(locale)
        self._units = {"g": units.mass, "ml": units.volume, "°C": units.temperature}

    def unit(self, stored: str) -> str:
        """The unit that values stored in `stored` are written in; many have no other."""
        return self._units.get(stored, stored)

    def shown(self, value: float, stored: str) -> float:
        """A stored value, converted to the unit it is written in."""
        unit = self.unit(stored)
        return value if unit == stored else convert(value, stored, unit)

    def read(self, value: float, stored: str) -> float:
        """A typed value, converted to the stored unit; rounded so that a round trip is exact."""
        unit = self.unit(stored)
        return value if unit == stored else round(convert(value, unit, stored), STORED_DIGITS)

    def digits(self, stored: str, digits: int) -> int:
        """Decimals that write as much of a value as `digits` do in the stored unit."""
        return digits + MORE_DIGITS.get(self.unit(stored), 0)

    def amount(self, value: float | None, stored: str, digits: int = 1) -> str:
        """A stored value with its unit: 17.5 g, 0.617 oz."""
        if value is None:
            return DASH
        number = self.number(self.shown(value, stored), self.digits(stored, digits))
        return f"{number}{self.space}{self.unit(stored)}"

    def number(self, value: float | None, digits: int = 0) -> str:
        """At most `digits` decimals, without trailing zeros: 11, 11.5."""
        if value is None:
            return DASH
        text = f"{value:.{digits}f}"
        if digits:
            text = text.rstrip("0").rstrip(".")
        return ("0" if text == "-0" else text).replace(".", self.point).replace("-", "−")

    def fixed(self, value: float | None, digits: int = 0) -> str:
        """Exactly `digits` decimals, for columns of figures: 1.30."""
        if value is None:
            return DASH
        return f"{value:.{digits}f}".replace(".", self.point).replace("-", "−")

    def typed(self, value: float, stored: str) -> str:
        """A stored value as one would type it, without its unit."""
        shown = f"{self.shown(value, stored):.{TYPED_DIGITS}f}"
        return shown.rstrip("0").rstrip(".").replace(".", self.point)

    def read_back(self, value: float, stored: str) -> float:
        """A stored value as it is read from what `typed` writes: forms show no more digits."""
        return self.read(round(self.shown(value, stored), TYPED_DIGITS), stored)

    def grams(self, value: float | None) -> str:
        return self.amount(value, "g")

    def say(self, sentence: object) -> str:
        """A sentence, or the one an error carries, in the household's units and decimal sign."""
        if isinstance(sentence, Exception) and sentence.args:
            sentence = sentence.args[0]
        if isinstance(sentence, Sentence):
            return joined(sentence.written(self._part))
        return joined(str(sentence))

    def decimals(self, text: object) -> str:
        """A finished sentence of app/sensory with the household's decimal sign."""
        return joined(DECIMAL_POINT.sub(self.point, str(text)))

    def _part(self, part: Amount) -> str:
        write = self.fixed if part.fixed else self.number
        value = part.rounded(self.shown(part.value, part.unit))
        text = write(value, self.digits(part.unit, part.digits))
        return text if part.bare or not part.unit else f"{text}{self.space}{self.unit(part.unit)}"

    def clock(self, seconds: float | None) -> str:
        """A duration: 2:05, 1:02:05."""
        if seconds is None:
            return DASH
        minutes, rest = divmod(round(seconds), 60)
        hours, minutes = divmod(minutes, 60)
        return f"{hours}:{minutes:02d}:{rest:02d}" if hours else f"{minutes}:{rest:02d}"

    def day(self, value: date | None) -> str:
        if value is None:
            return DASH
        return self.space.join((str(value.day), MONTHS[value.month - 1], str(value.year)))

    def weekday(self, value: date) -> str:
        return f"{WEEKDAYS[value.weekday()]}{self.space}{self.day(value)}"

    def moment(self, value: datetime | None, zone: str) -> str:
        if value is None:
            return DASH
        return f"{self.day(value.astimezone(ZoneInfo(zone)).date())}, {self.hour(value, zone)}"

    def hour(self, value: datetime, zone: str) -> str:
        """The time of day: 7:05."""
        local = value.astimezone(ZoneInfo(zone))
        return f"{local.hour}:{local.minute:02d}"

    def money(self, minor: float | None, currency: str) -> str:
        """An amount of `minor` units (cents) with its currency: 12.50 EUR."""
        if minor is None:
            return DASH
        amount = from_minor(round(minor), currency)
        return f"{self.fixed(amount, decimals(currency))}{self.space}{currency}"


def joined(text: str) -> str:
    """The text, no number or ratio of which parts at the end of a line."""
    return RATIO.sub(f"1{JOINED}:{JOINED}", BEFORE_UNIT.sub(JOINED, text))


def typed_duration(seconds: int) -> str:
    """Seconds as one would type them: 45, 2:30."""
    minutes, rest = divmod(seconds, 60)
    return f"{minutes}:{rest:02d}" if minutes else str(seconds)


def ago_days(days: int | None) -> str:
    if days is None:
        return DASH
    if days <= 0:
        return "today" if days == 0 else f"in {-days} days"
    return "yesterday" if days == 1 else f"{days} days ago"


def so_many(count: int, things: str) -> str:
    """Such as "3 stirs", "1 stir"."""
    return f"{count} {things.removesuffix('s') if count == 1 else things}"


def ordinal(n: int) -> str:
    """1st, 2nd, 3rd, 4th, 11th, 22nd."""
    if 10 <= n % 100 <= 20:
        return f"{n}th"
    return f"{n}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(n % 10, 'th') }"
