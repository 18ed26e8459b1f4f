"""The marks of an axis: as many as have room, at round values."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count, pairwise
from math import ceil, floor, inf, log10

from app.charts.still.letters import SLIM, label, width
from app.charts.still.signs import Signs

APART = 18.0  # pixels between the words of two marks; on a phone of 320 px some are left
UPRIGHT_APART = 32.0  # pixels from one mark to the next where they stand one above the other
LEAST_APART = 20.0
LEAST_BETWEEN = 4.0  # pixels between names
NAME_LINES = 3
NEARLY = 1e-9


@dataclass(frozen=True)
class Ticks:
    """Coordinates on the axis, and the words at each."""

    at: Sequence[float]
    text: Sequence[str]

    def within(self, low: float, high: float) -> "Ticks":
        spare = NEARLY * (high - low)
        kept = [
            (at, text)
            for at, text in zip(self.at, self.text, strict=True)
            if low - spare <= at <= high + spare
        ]
        return Ticks([at for at, _ in kept], [text for _, text in kept])


@dataclass(frozen=True)
class Stretch:
    """An axis from `low` to `high` (coordinates) on so many pixels, lying or upright."""

    low: float
    high: float
    pixels: float
    upright: bool

    def has_room(self, step: float) -> bool:
        """Whether marks so far apart could have any words."""
        return step * self.pixels >= LEAST_APART * (self.high - self.low)

    def fits(self, ticks: Ticks, apart: float = APART) -> bool:
        """Whether the words of the marks keep `apart`."""
        a_unit = self.pixels / (self.high - self.low)
        if self.upright:
            return all((b - a) * a_unit >= UPRIGHT_APART for a, b in pairwise(ticks.at))
        wide = [width(text) for text in ticks.text]
        return all(
            (b - a) * a_unit >= (one + other) / 2 + apart
            for (a, b), (one, other) in zip(pairwise(ticks.at), pairwise(wide), strict=True)
        )


def linear(stretch: Stretch, signs: Signs, least_step: float = 0.0) -> Ticks:
    """Multiples of 1, 2 or 5 times a power of ten, or of `least_step`."""
    for step in _steps(stretch, least_step):
        first, last = ceil(stretch.low / step - NEARLY), floor(stretch.high / step + NEARLY)
        at = [round(n * step, 12) for n in range(first, last + 1)]
        ticks = Ticks(at, [signs.number(value, step) for value in at])
        if stretch.fits(ticks):
            return ticks
    return Ticks([], [])


def _steps(stretch: Stretch, least: float) -> Iterator[float]:
    """From the finest that could have room on; steps of a twelfth have not."""
    finest = max(least, (stretch.high - stretch.low) / 12)
    power = floor(log10(finest)) if not least else 0
    unit = least or 1.0
    for tens in count(power):
        for digit in (1, 2, 5):
            step = unit * digit * 10.0**tens
            if step >= finest * (1 - NEARLY):
                yield step
            if step > 10 * (stretch.high - stretch.low) + finest:
                return


def logarithmic(stretch: Stretch, signs: Signs) -> Ticks:
    """Powers of ten or every second, third ... of them; where they are few, others between."""
    first, last = floor(stretch.low), ceil(stretch.high)
    between: list[Sequence[int]] = [range(1, 10), (1, 2, 3, 4, 6, 8), (1, 2, 5), (1, 3)]
    for digits, every in (*((some, 1) for some in between), *(((1,), n) for n in range(1, 40))):
        at = [
            power + log10(digit)
            for power in range(first, last + 1)
            if power % every == 0
            for digit in digits
        ]
        ticks = Ticks(at, [_power(value, signs) for value in at]).within(stretch.low, stretch.high)
        if stretch.fits(ticks):
            return ticks
    return Ticks([], [])


def _power(exponent: float, signs: Signs) -> str:
    value = float(f"{10.0**exponent:.1g}") if -300 < exponent < 300 else inf
    return signs.number(value, min(1.0, 10.0 ** floor(exponent + NEARLY)))


def given(stretch: Stretch, at: Sequence[float], text: Sequence[str], signs: Signs) -> Ticks:
    """The marks a figure asks for, with the household's decimal sign where they are numbers.

    Names without room side by side go over several lines.
    """
    stretch = replace(stretch, pixels=stretch.pixels * SLIM)
    ticks = Ticks(at, [signs.spelt(word) if _is_number(word) else word for word in text])
    whole = stretch.high - stretch.low
    closest = min((b - a for a, b in pairwise(at)), default=whole)
    room = closest / whole * stretch.pixels - LEAST_BETWEEN
    if stretch.upright or (len(at) > 1 and stretch.fits(ticks, LEAST_BETWEEN)):
        return ticks
    return Ticks(at, [label(word, room, NAME_LINES) for word in ticks.text])


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).removeprefix("-").isdecimal()
