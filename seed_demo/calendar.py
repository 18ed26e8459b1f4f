"""The calendar of the demo year: what is brewed on which day, for whom, and what is tried out.

Days are counted from 0 to 364. On dull days the same cup is brewed again and again, which shows how
much cups of one recipe differ.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from random import Random
from typing import Any
from zoneinfo import ZoneInfo

from seed_demo.household import ZONE

DAYS = 365
HOLIDAYS = ((97, 106), (229, 240), (311, 315))
DULL = ((12, 18), (63, 70), (150, 156), (199, 205), (262, 270), (330, 335))
METAL_WEEK = (181, 188)
CLOTH = (76, 120)
HOT_MONTHS = (6, 7, 8)


@dataclass(frozen=True, slots=True)
class PlannedBrew:
    """A brew to make. `paper` says how it is filtered, `change` what differs from the recipe."""

    day: int
    wall: datetime
    recipe: str
    tasters: tuple[str, ...] = ()
    decaf: bool = False
    occasion: str = "usual"
    paper: str = "usual"
    pair: int | None = None
    change: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Pair:
    """Two brews of one morning, A as the recipe says and B with one thing changed."""

    day: int
    recipe: str
    change: dict[str, Any]
    paper_b: str = "usual"
    note: str = ""


PAIRS = (
    Pair(24, "morning", {}, "fresh", note="Used paper against a fresh one."),
    Pair(48, "flipped", {"steep_s": 180}, note="Two minutes against three."),
    Pair(72, "morning", {"water": "tap"}, note="Jug against tap. The tap is duller."),
    Pair(96, "morning", {"setting": 3}, note="Three clicks coarser."),
    Pair(120, "flipped", {}, "stack", note="One paper against two."),
    Pair(144, "morning", {"water_temp_c": 82.0}, note="Eight degrees cooler."),
    Pair(168, "cone", {}, "cloth", note="Paper against cloth."),
    Pair(192, "flipped", {"dose_g": 13.0}, note="Two grams less: is it worth the beans?"),
    Pair(216, "morning", {}, "metal", note="Metal against paper: thicker, and mud in the cup."),
    Pair(244, "morning", {"grinder": "electric"}, note="Hand grinder against the electric one."),
    Pair(288, "cone", {"water_temp_c": 88.0}, note="Off the boil, or not."),
    Pair(300, "morning", {}, note="The same twice, to see how far apart that is."),
    Pair(320, "flipped", {"flipped": False}, note="Turned over against upright."),
    Pair(344, "morning", {"steep_s": 150, "water_temp_c": 85.0}, note="Longer and cooler at once."),
)


def plans(end_on: date, rng: Random) -> list[PlannedBrew]:
    """All brews of the year that ends on `end_on`, in order of time."""
    start = end_on - timedelta(days=DAYS - 1)
    days = {n: start + timedelta(days=n) for n in range(DAYS)}
    pair_days = {pair.day: place for place, pair in enumerate(PAIRS)}
    brews: list[PlannedBrew] = []
    for n, day in days.items():
        if n in pair_days:
            brews += _pair(day, pair_days[n], rng)
        elif not _within(n, HOLIDAYS) or clocks_change(day):
            brews += _ordinary(n, day, rng)
    return sorted(brews, key=lambda plan: plan.wall)


def clocks_change(day: date) -> bool:
    """Whether daylight saving begins or ends on this day."""
    first, last = (datetime.combine(day, time(hour), ZoneInfo(ZONE)) for hour in (0, 23))
    return first.utcoffset() != last.utcoffset()


def _ordinary(n: int, day: date, rng: Random) -> Iterator[PlannedBrew]:
    if _within(n, DULL) or clocks_change(day):
        yield PlannedBrew(n, _at(day, 6, 50, rng), "morning", occasion="dull")
        return
    weekend = day.weekday() >= 5
    yield from _weekend(n, day, rng) if weekend else _weekday(n, day, rng)
    if day.month in HOT_MONTHS and rng.random() < 0.28:
        yield PlannedBrew(n, _at(day, 14, 30, rng), "iced", _either(rng, 0.5), occasion="ice")
    if rng.random() < 0.17:
        recipe = rng.choice(("morning", "flipped"))
        yield PlannedBrew(n, _at(day, 19, 40, rng), recipe, _either(rng, 0.4), decaf=True)


def _weekday(n: int, day: date, rng: Random) -> Iterator[PlannedBrew]:
    metal = _within(n, (METAL_WEEK,)) or rng.random() < 0.03
    stack = rng.random() < 0.09
    paper = "metal" if metal else "stack" if stack else "usual"
    yield PlannedBrew(n, _at(day, 6, 50, rng), "morning", _who("Nell", 0.5, rng), paper=paper)
    if rng.random() < 0.58:
        often = "fresh" if rng.random() < 0.06 else "usual"
        yield PlannedBrew(n, _at(day, 7, 25, rng), "flipped", _who("Ivo", 0.5, rng), paper=often)
    if rng.random() < 0.03:
        yield PlannedBrew(n, _at(day, 11, 10, rng), "short", ("Ivo",), occasion="strong")


def _weekend(n: int, day: date, rng: Random) -> Iterator[PlannedBrew]:
    recipe = "pot" if day.weekday() == 6 and rng.random() < 0.7 else "cone"
    paper = "cloth" if _within(n, (CLOTH,)) and rng.random() < 0.6 else "usual"
    yield PlannedBrew(n, _at(day, 8, 40, rng), recipe, _either(rng, 0.75), paper=paper)
    if rng.random() < 0.45:
        yield PlannedBrew(n, _at(day, 10, 20, rng), "flipped", _who("Ivo", 0.4, rng))
    if rng.random() < 0.14:
        tasters = ("Nell", "Ivo") if rng.random() < 0.5 else ("Nell",)
        yield PlannedBrew(n, _at(day, 15, 20, rng), "for two", tasters, occasion="guests")


def _pair(day: date, place: int, rng: Random) -> Iterator[PlannedBrew]:
    pair, first = PAIRS[place], _at(day, 8, 10, rng)
    for wall, paper, change in (
        (first, "usual", {}),
        (first + timedelta(minutes=9), pair.paper_b, pair.change),
    ):
        yield PlannedBrew(
            pair.day, wall, pair.recipe, ("Nell", "Ivo"), False, "pair", paper, place, change
        )


def _at(day: date, hour: int, minute: int, rng: Random) -> datetime:
    about = datetime.combine(day, time(hour, minute))
    return about + timedelta(minutes=rng.randint(-14, 14))


def _who(name: str, often: float, rng: Random) -> tuple[str, ...]:
    return (name,) if rng.random() < often else ()


def _either(rng: Random, often: float) -> tuple[str, ...]:
    if rng.random() >= often:
        return ()
    return rng.choice((("Nell",), ("Ivo",), ("Nell", "Ivo"), ("Nell", "Ivo")))


def _within(n: int, spans: tuple[tuple[int, int], ...]) -> bool:
    return any(low <= n <= high for low, high in spans)
