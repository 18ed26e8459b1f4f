"""What to change: what is claimed of penalties and of neighbours, over whole planted journals.

Truths of our own, read as the pages read them (`advice_of`), without a database: one recipe of one
bag, cups of one taster, noise .8 from cup to cup and .5 from day to day, rounded to whole scores;
all six scales are answered, and the steep takes one of two times.
- an effect: bitter cups, or long steeps, by lot, cost a point and a half, or a point;
- none: answers and steeps by lot; in runs; with days that resemble each other; with a taster who
  only scores good days;
- confounded: bitterness is called, and the steep made longer, as the bag ages; the age alone
  counts.
A wrong claim is something said to cost most, or to be liked better, without a word on what could
explain it. Looked at daily: whether that was said on any of the days.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from functools import partial
from typing import NamedTuple

import numpy as np

from app.brewing.strength.estimate import estimate_cup
from app.journal.along import SetRow
from app.journal.changes.advice import Advice, advice_of
from app.journal.changes.cups import AnswersRow, Base, BaseRow, Held, TastedCup
from app.journal.groups.cups import CupRow
from app.journal.lessons import MeasuredRow, cup_of
from tests.honesty.table import Figure, at_least, at_most

RUNS, DAILY_RUNS = 200, 100
CUP_SD, DAY_SD = 0.8, 0.5
FIRST = date(2026, 1, 5)
SHORT_S, LONG_S = 95, 130
BITTERNESS = 3  # its place among the scales

Chance = Callable[[int], float]
Worth = Callable[[int, bool, bool], float]


class Told(NamedTuple):
    """Shares of journals by what is said."""

    costs: float
    better: float
    explained: float

    @property
    def any(self) -> float:
        return self.costs + self.better


def checks() -> Iterator[Figure]:
    rng = np.random.default_rng(31)
    for days in (16, 30, 60):
        said = f"{days} days"
        for name, planted in NOTHING.items():
            yield at_most(
                f"{said}, {name}: wrong claims", 0.05, told(partial(planted, rng, days)).any
            )
        age = told(partial(by_age, rng, days))
        yield at_most(f"{said}, bitter and longer as the bag ages: wrong claims", 0.05, age.any)
        if days == 60:
            yield at_least(f"{said}, as the bag ages: told as explained", 0.25, age.explained)
            some = told(partial(an_effect, rng, days))
            yield at_least(f"{said}, bitter costs 1.5: found", 0.35, some.costs)
            yield at_least(f"{said}, a longer steep costs 1: found", 0.25, some.better)
    ever = sum(ever_claimed(rng) for _ in range(DAILY_RUNS)) / DAILY_RUNS
    yield at_most("nothing, looked at on each of days 12 to 30: ever wrong", 0.05, ever)


def told(plant: Callable[[], Held]) -> Told:
    costs = better = explained = 0
    for _ in range(RUNS):
        found = advice_of(plant(), None, of_this_cup=False)
        costs += found.worst is not None
        better += any(one.better for read in found.read for one in read.neighbours)
        explained += any(cost.rivals for read in found.read for cost in read.costs)
    return Told(costs / RUNS, better / RUNS, explained / RUNS)


def ever_claimed(rng: np.random.Generator) -> bool:
    held = nothing(rng, 30)
    last = range(12, 31)
    return any(_claims(advice_of(_up_to(held, day), None, of_this_cup=False)) for day in last)


def _claims(found: Advice) -> bool:
    return found.worst is not None or any(one.better for of in found.read for one in of.neighbours)


def _up_to(held: Held, day: int) -> Held:
    cups = [one for one in held.cups if one.cup.brewed_on < FIRST + timedelta(days=day)]
    settings = {one.cup.brew_id: held.settings[one.cup.brew_id] for one in cups}
    return Held(held.base, cups, settings, held.stacks, held.frozen)


def nothing(rng: np.random.Generator, days: int) -> Held:
    return journal(rng, days, lambda _day: 0.4, lambda _day, _bitter, _long: 0.0)


def in_runs(rng: np.random.Generator, days: int) -> Held:
    """A week of bitter cups and long steeps, then a week without."""
    return journal(
        rng, days, lambda day: 0.8 * (day // 7 % 2), lambda _day, _bitter, _long: 0.0, lag1=0.3
    )


def alike(rng: np.random.Generator, days: int) -> Held:
    return journal(rng, days, lambda _day: 0.4, lambda _day, _bitter, _long: 0.0, lag1=0.4)


def only_good_days(rng: np.random.Generator, days: int) -> Held:
    held = nothing(rng, days)
    good = {one.cup.brewed_on for one in held.cups if one.cup.liking >= 6}
    cups = [one for one in held.cups if one.cup.brewed_on in good]
    return Held(held.base, cups, held.settings, held.stacks, held.frozen)


def by_age(rng: np.random.Generator, days: int) -> Held:
    """The age alone costs; what is called bitter, and what is steeped longer, is late as well."""
    return journal(
        rng, days, lambda day: 0.1 + 0.8 * (day > days / 2),
        lambda day, _bitter, _long: 3.0 * (0.5 - day / days),
    )  # fmt: skip


def an_effect(rng: np.random.Generator, days: int) -> Held:
    return journal(
        rng, days, lambda _day: 0.45, lambda _day, bitter, long: -1.5 * bitter - 1.0 * long
    )


NOTHING: dict[str, Callable[[np.random.Generator, int], Held]] = {
    "nothing, by lot": nothing,
    "nothing, in runs": in_runs,
    "nothing, days alike": alike,
    "nothing, only good days scored": only_good_days,
}


def journal(
    rng: np.random.Generator, days: int, chance: Chance, worth: Worth, lag1: float = 0.0
) -> Held:
    """One or two cups a day; the base is a brew of the long steep, which nobody tasted."""
    level, today = rng.uniform(5.6, 6.6), 0.0
    cups, settings = [], {}
    for day in range(days):
        today = lag1 * today + np.sqrt(1 - lag1**2) * rng.normal(0, DAY_SD)
        for _ in range(rng.integers(1, 3)):
            bitter, long = (bool(rng.random() < chance(day)) for _ in range(2))
            liked = level + today + worth(day, bitter, long) + rng.normal(0, CUP_SD)
            brew_id = len(cups) + 1
            cups.append(TastedCup(_cup(rng, brew_id, day, liked, long), _answers(rng, bitter)))
            settings[brew_id] = _set(brew_id, long)
    return Held(_base(), cups, settings, {}, {})


def _answers(rng: np.random.Generator, bitter: bool) -> AnswersRow:
    others = [int(rng.choice((2, 3, 3, 4))) for _ in range(5)]
    return AnswersRow(*others[:BITTERNESS], 4 if bitter else 3, *others[BITTERNESS:])


def _cup(rng: np.random.Generator, n: int, day: int, liked: float, long: bool) -> CupRow:
    on = FIRST + timedelta(days=day)
    at = datetime(on.year, on.month, on.day, 7, tzinfo=UTC) + timedelta(minutes=n % 2 * 90)
    return CupRow(
        id=n, brew_id=n, taster_id=1, taster_name="One", liking=int(min(9, max(1, round(liked)))),
        blind=False, in_a=0, in_b=0, brewed_at=at, brewed_on=on, zone="UTC", bag_id=1,
        roasted_on=FIRST - timedelta(days=8), first_brewer_id=1, grinder_id=1, grind="medium",
        grind_setting="", dose_g=14.2, water_g=221.0, bypass_g=0.0, ice_g=0.0, water_id=1,
        water_temp_c=92.0, steep_s=LONG_S if long else SHORT_S, press_s=None,
        stirs=3, recipe_id=1, use=int(rng.integers(1, 4)),
    )  # fmt: skip


def _set(brew_id: int, long: bool) -> SetRow:
    steep_s = LONG_S if long else SHORT_S
    return SetRow(brew_id, 1, 1, 1, "medium", "", 14.2, 221.0, 0.0, 0.0, 1, 92.0, steep_s, 3)


def _base() -> Base:
    measured = MeasuredRow(
        "pressed immersion", 14.2, 221.0, 0.0, 0.0, 92.0, LONG_S, None, "medium", None, None, 3,
        None, 1, 1,
    )  # fmt: skip
    row = BaseRow(0, FIRST, 1, 1, "Press", None, 1)
    return Base(row, measured, estimate_cup(cup_of(measured)), _set(0, long=True), ())
