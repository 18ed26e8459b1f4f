"""Two groups of cups: whether their ranges cover, and what is claimed over whole planted journals.

Truths of our own, read as the page reads them (`hold_against`), without a database: cups of one
taster, noise .8 from cup to cup and .5 from day to day, rounded to whole scores.
- an effect: groups differ by a point, by lot;
- none: by lot, in blocks, at weekends, with a taster who grows stricter while A becomes rarer, who
  only scores good cups of one group, or good days; a bag every 12 days moves all of its cups;
- a grind made finer as the bag ages, the ageing or the grind the true cause.
A wrong claim is a difference said without a word on what could explain it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import partial
from typing import NamedTuple

import numpy as np

from app.journal.groups.compared import Compared, hold_against
from app.journal.groups.cups import CupRow, Cups
from app.journal.groups.things import Noting
from app.journal.groups.wanted import Wanted
from app.sensory.lazy import Floats
from app.sensory.scores.apart import Days, Scored, apart, by_day
from tests.honesty.table import Figure, at_least, at_most

RUNS, JOURNALS = 1000, 300
CUP_SD, DAY_SD, BAG_SD = 0.8, 0.5, 0.5
FIRST = date(2026, 1, 5)
BAG_DAYS = 12
NUMBERS = (6, 10, 15, 30)
BY_USE = Wanted(use_to=1), Wanted(use_from=2)
BY_SETTING = Wanted(setting_to=17.5), Wanted(setting_from=17.5)


class Held(NamedTuple):
    """Shares of runs in which the range held the truth, and in which a group was called higher."""

    held: float
    claimed: float


class Told(NamedTuple):
    """Shares of journals by what the page says."""

    claimed: float
    confounded: float


def checks() -> Iterator[Figure]:
    rng = np.random.default_rng(22)
    for n in NUMBERS:
        yield from _covers(rng, n)
    yield from _journals(rng)


def _covers(rng: np.random.Generator, n: int) -> Iterator[Figure]:
    for effect in (0.0, 0.7):
        found = run(partial(pairs, rng, n, effect), effect)
        yield at_least(f"{n} days with both, A +{effect}: range holds it", 0.93, found.held)
        if not effect:
            yield at_most(f"{n} days with both, no difference: claimed", 0.05, found.claimed)
        for name, order in ORDERS.items():
            alone = run(partial(days_of, rng, order, n, effect), effect)
            what = f"{n} days of each {name}, A +{effect}: range holds it"
            yield at_least(what, 0.93, alone.held)
    for name in ("by lot", "a week in turn"):
        alike = run(partial(days_of, rng, ORDERS[name], n, 0.0, lag1=0.3), 0.0)
        yield at_least(f"{n} days of each {name}, alike (lag-1 .3): holds it", 0.93, alike.held)


Order = Callable[[np.random.Generator, int], list[bool]]
ORDERS: Mapping[str, Order] = {
    "by lot": lambda rng, n: [bool(one) for one in rng.permutation(2 * n) < n],
    "a week in turn": lambda _rng, n: [day // 7 % 2 == 0 for day in range(2 * n)],
    "one after the other": lambda _rng, n: [day < n for day in range(2 * n)],
}


def run(drawn: Callable[[], Days], effect: float) -> Held:
    held = claimed = read = 0
    for _ in range(RUNS):
        found = apart(drawn())
        if found is None or found.low is None or found.high is None:
            continue  # in weeks, one group may have too few days
        read += 1
        held += found.low <= effect <= found.high
        claimed += found.higher is not None
    return Held(held / read, claimed / read) if read else Held(1.0, 0.0)


def pairs(rng: np.random.Generator, n: int, effect: float) -> Days:
    """A cup of each on every day."""
    level = rng.uniform(5.2, 6.2) + rng.normal(0, DAY_SD, n)
    return by_day(
        [
            Scored(day, in_a, whole(level[day] + effect * in_a + rng.normal(0, CUP_SD)))
            for day in range(n)
            for in_a in (True, False)
        ]
    )


def days_of(
    rng: np.random.Generator, order: Order, n: int, effect: float, lag1: float = 0.0
) -> Days:
    """One to three cups a day, all of one group."""
    in_a = order(rng, n)
    level = rng.uniform(5.2, 6.2) + DAY_SD * resembling(rng, len(in_a), lag1)
    return by_day(
        [
            Scored(day, of_a, whole(level[day] + effect * of_a + rng.normal(0, CUP_SD)))
            for day, of_a in enumerate(in_a)
            for _ in range(rng.integers(1, 4))
        ]
    )


def resembling(rng: np.random.Generator, days: int, lag1: float) -> Floats:
    noise: Floats = rng.normal(size=days)
    for day in range(1, days):
        noise[day] = lag1 * noise[day - 1] + np.sqrt(1 - lag1**2) * noise[day]
    return noise


def whole(value: float) -> int:
    return int(min(9, max(1, round(value))))


def _journals(rng: np.random.Generator) -> Iterator[Figure]:
    for days in (24, 60, 120):
        said = f"journal of {days} days"
        some = told(partial(by_lot, rng, days, 1.0))
        if days > 24:
            yield at_least(f"{said}, A a point better, by lot: found", 0.5, some.claimed)
        for name, planted in NOTHING.items():
            none = told(partial(planted, rng, days))
            yield at_most(f"{said}, {name}: wrong claims", 0.05, none.claimed)
        for cause in ("ageing", "grind"):
            finer = told(partial(finer_with_age, rng, days, cause), BY_SETTING)
            what = f"{said}, finer as the bag ages, {cause} matters"
            yield at_most(f"{what}: wrong claims", 0.05, finer.claimed)
            if days == 120:
                yield at_least(f"{what}: cannot be told apart", 0.5, finer.confounded)


Planted = Callable[[], Cups]


def told(plant: Planted, groups: tuple[Wanted, Wanted] = BY_USE) -> Told:
    claimed = confounded = 0
    for _ in range(JOURNALS):
        compared = _read(plant(), groups)
        for one in compared.strata:
            if one.found and one.found.higher:
                claimed += not one.rivals
                confounded += bool(one.rivals)
    return Told(claimed / JOURNALS, confounded / JOURNALS)


def _read(cups: Cups, groups: tuple[Wanted, Wanted]) -> Compared:
    return hold_against(cups, Noting(*groups, cups.stacks, {}))


def by_lot(rng: np.random.Generator, days: int, effect: float) -> Cups:
    """Each day one or two cups, whose group is tossed for."""
    return journal(
        rng, days, lambda _day: bool(rng.random() < 0.5), lambda in_a, _day: effect * in_a
    )


def nothing(rng: np.random.Generator, days: int) -> Cups:
    return by_lot(rng, days, 0.0)


def in_blocks(rng: np.random.Generator, days: int) -> Cups:
    """All of A, then all of B, from one bag after the other."""
    return journal(rng, days, lambda day: day < days / 2, lambda _in_a, _day: 0.0)


def at_weekends(rng: np.random.Generator, days: int) -> Cups:
    """A at weekends, when every cup tastes better."""
    return journal(rng, days, lambda day: day % 7 > 4, lambda in_a, _day: 0.8 * in_a)


def drifting(rng: np.random.Generator, days: int) -> Cups:
    """The taster grows stricter, and A becomes rarer."""
    return journal(
        rng,
        days,
        lambda day: bool(rng.random() < 0.85 - 0.7 * day / days),
        lambda _in_a, day: 1.5 * (0.5 - day / days),
    )


def finer_with_age(rng: np.random.Generator, days: int, cause: str) -> Cups:
    """The grinder is set finer by the day of each bag; it costs liking, or the age does."""

    def worth(_in_a: bool, day: int) -> float:
        return (-0.15 if cause == "ageing" else 0.15) * (day % BAG_DAYS - BAG_DAYS / 2)

    return journal(
        rng, days, lambda day: day % BAG_DAYS >= BAG_DAYS / 2, worth,
        setting=lambda age: 24 - age,
    )  # fmt: skip


def only_good_cups(rng: np.random.Generator, days: int) -> Cups:
    """No difference; of A only cups that came out well are scored, of B all."""
    cups = nothing(rng, days)
    return replace(cups, rows=[row for row in cups.rows if not row.in_a or row.liking >= 6])


def only_good_days(rng: np.random.Generator, days: int) -> Cups:
    """No difference; only days on which a cup came out well are scored."""
    cups = nothing(rng, days)
    good = {row.brewed_on for row in cups.rows if row.liking >= 7}
    return replace(cups, rows=[row for row in cups.rows if row.brewed_on in good])


NOTHING: Mapping[str, Callable[[np.random.Generator, int], Cups]] = {
    "no difference, by lot": nothing,
    "no difference, A first and then B": in_blocks,
    "no difference, A at weekends": at_weekends,
    "no difference, a stricter taster, A rarer": drifting,
    "no difference, of A only good cups scored": only_good_cups,
    "no difference, only good days scored": only_good_days,
}


def journal(
    rng: np.random.Generator,
    days: int,
    is_a: Callable[[int], bool],
    worth: Callable[[bool, int], float],
    setting: Callable[[int], int] | None = None,
) -> Cups:
    """A journal of so many days; doses, temperatures, steeps and hours wander by themselves."""
    rows: list[CupRow] = []
    level = rng.uniform(5.4, 6.4)
    bags = rng.normal(0, BAG_SD, days // BAG_DAYS + 1)
    for day in range(days):
        today = rng.normal(0, DAY_SD)
        for _ in range(rng.integers(1, 3)):
            age, in_a = 8 + day % BAG_DAYS, is_a(day)
            liked = level + bags[day // BAG_DAYS] + today + worth(in_a, day)
            liking = whole(liked + rng.normal(0, CUP_SD))
            rows.append(_row(rng, len(rows), day, in_a, liking, setting(age) if setting else None))
    brews = sum(row.in_a for row in rows), sum(row.in_b for row in rows)
    stacks = {row.brew_id: (("paper", 1),) for row in rows}
    return Cups(rows, 0, brews, stacks, None)


def _row(
    rng: np.random.Generator, n: int, day: int, in_a: bool, liking: int, setting: int | None
) -> CupRow:
    on, bag = FIRST + timedelta(days=day), 1 + day // BAG_DAYS
    at = datetime(on.year, on.month, on.day, 7, tzinfo=UTC) + timedelta(minutes=n % 2 * 90)
    return CupRow(
        id=n, brew_id=n, taster_id=1, taster_name="One", liking=liking, blind=False,
        in_a=int(in_a), in_b=int(not in_a), brewed_at=at, brewed_on=on, zone="UTC", bag_id=bag,
        roasted_on=FIRST + timedelta(days=BAG_DAYS * (bag - 1) - 8), first_brewer_id=1,
        grinder_id=1, grind="medium", grind_setting=str(setting or 18 + rng.integers(0, 3)),
        dose_g=round(float(rng.normal(14.2, 0.3)), 1), water_g=float(rng.integers(218, 224)),
        bypass_g=0.0, ice_g=0.0, water_id=1, water_temp_c=float(rng.integers(90, 95)),
        steep_s=int(rng.integers(100, 116)), press_s=None,
        stirs=3, recipe_id=1, use=1 if in_a else 2,
    )  # fmt: skip
