"""The cups from one bag: days and scores, the best, filters and price, and how many are to come."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import floor
from statistics import fmean

from app.journal.brews import ReadBrew
from app.journal.rest import Span, rest_on
from app.journal.usual import FEWEST

BEST_CUPS = 5
MOST_NUMBERED = 10
LATEST_DOSES = 10


@dataclass(frozen=True, slots=True)
class BagCup:
    """One cup from a bag; `day` is its rest, or else since the first cup."""

    brew: ReadBrew
    day: int


def days_of(
    brews: Sequence[ReadBrew], roasted_on: date | None, frozen: Sequence[Span]
) -> list[int]:
    """The day of each brew on the charts' axis; brews run from the oldest on."""
    days = [brew.row.brewed_on for brew in brews]
    rests = [rest_on(day, roasted_on, frozen) for day in days]
    return [
        rest.days if rest else (day - days[0]).days for day, rest in zip(days, rests, strict=True)
    ]


def best_cups(cups: Sequence[BagCup]) -> list[BagCup]:
    """The cups liked best, the newer first where equal."""
    scored = [cup for cup in reversed(cups) if cup.brew.row.liking is not None]
    return sorted(scored, key=lambda cup: -(cup.brew.row.liking or 0))[:BEST_CUPS]


@dataclass(frozen=True, slots=True)
class UseLine:
    """What the cups through a filter in one use number were like; the last line takes the rest."""

    number: int
    cups: int
    liking: float | None
    press_s: float | None


def use_lines(cups: Sequence[BagCup]) -> list[UseLine]:
    """Cups by the use number of their filter; a stack counts once for each of its filters."""
    by_number: dict[int, list[ReadBrew]] = {}
    for cup in cups:
        for use in cup.brew.stack:
            by_number.setdefault(min(use.number, MOST_NUMBERED + 1), []).append(cup.brew)
    return [
        UseLine(
            number,
            len(through),
            mean([brew.row.liking for brew in through]),
            mean([brew.cup.press_s for brew in through]),
        )
        for number, through in sorted(by_number.items())
    ]


def mean(values: Sequence[float | None]) -> float | None:
    """Of the values that are known."""
    known = [value for value in values if value is not None]
    return fmean(known) if known else None


@dataclass(frozen=True, slots=True)
class BrewsLeft:
    """How many whole brews are left, at the greatest and at the least usual dose (grams)."""

    fewest: int
    most: int
    low_g: float
    high_g: float


def brews_left(left_g: float | None, latest_doses_g: Sequence[float]) -> BrewsLeft | None:
    """Whole brews left at the latest doses; None where nothing is known of either.

    Of five doses or more the least and the greatest do not count, as for any usual amount.
    """
    if left_g is None or not latest_doses_g:
        return None
    doses = sorted(latest_doses_g)
    low_g, high_g = (doses[1], doses[-2]) if len(doses) >= FEWEST else (doses[0], doses[-1])
    # A hair more, so that 70 g at 17.5 g is four brews after any amount of float subtraction.
    fewest, most = (max(0, floor(left_g / dose_g + 1e-9)) for dose_g in (high_g, low_g))
    return BrewsLeft(fewest, most, low_g, high_g)


def cup_price_minor(
    price_minor: int | None, net_g: float | None, brewed_g: float, brews: int
) -> float | None:
    """Price of the coffee in the mean cup so far, in minor units; None where it is not known."""
    if price_minor is None or net_g is None or not brews:
        return None
    return price_minor / net_g * brewed_g / brews
