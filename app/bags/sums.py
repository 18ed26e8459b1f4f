"""Sums over a bag: how far it still goes, and what a cup from it costs."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor
from statistics import median

LATEST_DOSES = 10


@dataclass(frozen=True, slots=True)
class BrewsLeft:
    """How many whole brews are left at a dose in grams."""

    brews: int
    dose_g: float


def brews_left(left_g: float | None, latest_doses_g: Sequence[float]) -> BrewsLeft | None:
    """Whole brews left at the median of the latest doses; None where either is not known."""
    if left_g is None or not latest_doses_g:
        return None
    dose_g = median(latest_doses_g)
    # A hair more, so that 44 g at 11 g is four brews after any amount of float subtraction.
    return BrewsLeft(max(0, floor(left_g / dose_g + 1e-9)), dose_g)


def cup_price_minor(
    price_minor: int | None, net_g: float | None, brewed_g: float, brews: int
) -> float | None:
    """Price of the coffee in the mean cup so far, in minor units; None where it is not known."""
    if price_minor is None or net_g is None or not brews:
        return None
    return price_minor / net_g * brewed_g / brews
