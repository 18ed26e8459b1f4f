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

from seed_demo.household import ALIKE, ZONE
from seed_demo.recipes import RECIPES

DAYS = 365
HOLIDAYS = ((97, 106), (229, 240), (311, 315))
DULL = ((12, 18), (63, 70), (150, 156), (199, 205), (262, 270), (330, 335))
METAL_WEEK = (181, 188)
CLOTH = (76, 120)
HOT_MONTHS = (6, 7, 8)


@dataclass(frozen=True, slots=True)
class PlannedBrew:
    """A brew to make. `paper` says how it is filtered, `change` what differs from the recipe.

    `second` is the later one of a pair.
    """

    day: int
    wall: datetime
    recipe: str
    tasters: tuple[str, ...] = ()
    decaf: bool = False
    occasion: str = "usual"
    paper: str = "usual"
    pair: int | None = None
    second: bool = False
    change: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Pair:
    """Two brews of one morning, A as the recipe says and B with one thing changed.

    Each goes through a fresh paper, unless `paper_b` says otherwise of B. What is pressed is made
    in the two alike presses at once, A in the left one and B in the right one.
    """

    day: int
    recipe: str
    change: dict[str, Any]
    paper_b: str = "fresh"
    note: str = ""
    saved: bool = True


PAIRS = (
    Pair(19, "morning", {}, note="The same twice, left press and right: they are one thing to us."),
    Pair(43, "flipped", {"steep_s": 290}, note="Three minutes against nearly five."),
    Pair(66, "morning", {"water": "tap"}, note="Boiled water rather than tap: is the tap duller?"),
    Pair(72, "morning", {}, note="The same twice, to see how far apart that is."),
    Pair(88, "morning", {"setting": 4}, note="Four clicks coarser.", saved=False),
    Pair(109, "flipped", {}, "two fresh", note="One paper against two."),
    Pair(
        133,
        "morning",
        {"water_temp_c": 84.0},
        note="The kettle keeps water warm at 84 degrees: enough?",
    ),
    Pair(161, "cone", {}, "cloth", note="Paper against cloth.", saved=False),
    Pair(178, "second", {"dose_g": 23.0}, note="Two and a half grams more: worth the beans?"),
    Pair(196, "morning", {}, "metal", note="Metal against paper: thicker, and mud in the cup."),
    Pair(221, "morning", {"grinder": "electric"}, note="Hand mill against the electric one."),
    Pair(243, "morning", {}, note="The same twice, now off the boil."),
    Pair(268, "morning", {}, note="The same twice, half asleep."),
    Pair(281, "second", {"stirs": 0}, note="Stirred against left alone."),
    Pair(293, "morning", {}, note="The same twice, with a cold."),
    Pair(316, "flipped", {"flipped": False}, note="Turned over against upright."),
    Pair(322, "morning", {}, note="The same twice, once more."),
    Pair(
        328, "second", {"steep_s": 160, "dose_g": 23.0}, note="More coffee, shorter: both at once."
    ),
    Pair(
        343,
        "morning",
        {"water_temp_c": 86.0},
        note="Straight off the boil against a pause of some minutes.",
    ),
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
    if rng.random() < 0.48:
        often = "fresh" if rng.random() < 0.06 else "usual"
        his = "flipped" if rng.random() < 0.45 else "second"
        yield PlannedBrew(n, _at(day, 7, 25, rng), his, _who("Ivo", 0.5, rng), paper=often)
    if rng.random() < 0.03:
        yield PlannedBrew(n, _at(day, 11, 10, rng), "short", ("Ivo",), occasion="strong")


def _weekend(n: int, day: date, rng: Random) -> Iterator[PlannedBrew]:
    recipe = "pot" if day.weekday() == 6 and rng.random() < 0.7 else "cone"
    paper = "cloth" if _within(n, (CLOTH,)) and rng.random() < 0.6 else "usual"
    yield PlannedBrew(n, _at(day, 8, 40, rng), recipe, _either(rng, 0.75), paper=paper)
    if rng.random() < 0.41:
        yield PlannedBrew(n, _at(day, 10, 20, rng), "flipped", _who("Ivo", 0.4, rng))
    if rng.random() < 0.14:
        tasters = ("Nell", "Ivo") if rng.random() < 0.5 else ("Nell",)
        yield PlannedBrew(n, _at(day, 15, 20, rng), "for two", tasters, occasion="guests")


def _pair(day: date, place: int, rng: Random) -> Iterator[PlannedBrew]:
    pair, first = PAIRS[place], _at(day, 8, 10, rng)
    at_once = RECIPES[pair.recipe].brewer in ALIKE
    for wall, paper, change in (
        (first, "fresh", {}),
        (first + timedelta(minutes=2 if at_once else 9), pair.paper_b, pair.change),
    ):
        yield PlannedBrew(
            pair.day,
            wall,
            pair.recipe,
            ("Nell", "Ivo"),
            occasion="pair",
            paper=paper,
            pair=place,
            second=wall > first,
            change=change,
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
