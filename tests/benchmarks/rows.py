"""The generated rows, family by family, as the tables take them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from random import Random
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from tests.benchmarks.rows_gear import BREWERS, NOTES, RECIPES, REVISIONS, WORDS, gear

__all__ = ["Row", "bags", "bags_of_brews", "brews", "filters", "gear", "side_by_sides", "tastings"]

Row = dict[str, Any]

LAST = datetime(2026, 11, 23, 18, 30, tzinfo=UTC)
ZONE = "Europe/Vienna"
GAP = timedelta(days=1) / 8.3
BIG_BAG, BIG_BAG_BREWS, LATEST = 1, 200, 420
METAL_FILTER = 1
PAPERS_A_PACK, FEWEST_PACKS, FEWEST_BEANS = 100, 60, 60
SPARE_PACKS = 20
MOST_USES = 8
PAIRS = 200
IN_THE_BIN = 60  # among the latest, and one in 500 of the others
OF_FIRST_RECIPE = 0.1


def bags_of_brews(count: int, rng: Random) -> list[int]:
    """The bag of each brew, oldest brew first; bags are numbered from 1."""
    found: list[int] = []
    bag = BIG_BAG
    while len(found) < count:
        bag += 1
        found += [bag] * rng.randint(12, 24)
    del found[count:]
    for n in range(count - LATEST, count - LATEST + 2 * BIG_BAG_BREWS, 2):
        found[n] = BIG_BAG
    return found


def brews(bag_of: list[int], rng: Random) -> list[Row]:
    count = len(bag_of)
    made = [_brew(n, count, bag, rng) for n, bag in enumerate(bag_of)]
    latest = range(count - 900, count - 30)
    binned = {*rng.sample(latest, IN_THE_BIN), *range(0, latest.start, 500)}
    for n in binned:
        made[n]["binned_at"] = made[n]["brewed_at"] + timedelta(hours=1)
    return made


def _brew(n: int, count: int, bag: int, rng: Random) -> Row:
    at = LAST - (count - 1 - n) * GAP + timedelta(minutes=rng.randint(0, 120))
    kind = rng.choices(range(1, len(BREWERS) + 1), (60, 10, 20, 10))[0]
    note = rng.choice(NOTES) if rng.random() < 0.4 else ""
    dose_g = round(rng.uniform(10.5, 16.0), 1)
    measured = rng.random() < (0.55 if n >= count - 900 else 0.02)
    water_g = float(round(dose_g * rng.uniform(15.5, 18.5)))
    return {
        "id": n + 1,
        "entry_key": str(UUID(int=rng.getrandbits(128), version=4)),
        "brewed_at": at,
        "zone": ZONE,
        "brewed_on": at.astimezone(ZoneInfo(ZONE)).date(),
        "bag_id": bag,
        "brewer_id": kind,
        "grinder_id": rng.choice((1, 1, 1, 2)),
        "water_id": rng.choice((1, 2, None)),
        "revision_id": _revision(rng),
        "grind": rng.choice(("medium-fine", "medium", "medium-coarse")),
        "grind_setting": str(rng.randint(14, 26)),
        "dose_g": dose_g,
        "water_g": water_g,
        "bypass_g": 160.0 if rng.random() < 0.03 else 0.0,
        "ice_g": 120.0 if rng.random() < 0.02 else 0.0,
        "water_temp_c": rng.choice((85.0, 90.0, 93.0, 95.0, None)),
        "steep_s": rng.choice((60, 90, 105, 120, 180, 240)),
        "press_s": rng.randint(20, 45) if kind == 1 else None,
        "press_effort": rng.choice((None, 2, 2, 3, 4)) if kind == 1 else None,
        "flipped": kind == 1 and rng.random() < 0.3,
        "stirs": rng.choice((None, 3, 5)),
        "beverage_g": float(round(water_g - 1.9 * dose_g)) if rng.random() < 0.02 else None,
        "tds_pct": round(rng.gauss(1.25, 0.08), 2) if measured else None,
        "note": note,
        "note_search": note.casefold(),
        "binned_at": None,
    }


def _revision(rng: Random) -> int | None:
    if rng.random() < OF_FIRST_RECIPE:
        return rng.randint(1, REVISIONS)
    return rng.choice((None, *range(REVISIONS + 1, RECIPES * REVISIONS + 1)))


def bags(made: list[Row], rng: Random) -> dict[str, list[Row]]:
    """Beans, bags opened on their first and finished on their last brew, freezer, corrections."""
    first: dict[int, date] = {}
    last: dict[int, date] = {}
    for brew in made:
        first.setdefault(brew["bag_id"], brew["brewed_on"])
        last[brew["bag_id"]] = brew["brewed_on"]
    newest = sorted(first, key=lambda bag: last[bag])[-4:]
    beans = max(FEWEST_BEANS, len(first) // 5)
    kept = [_bag(bag, beans, first[bag], last[bag], bag in newest, rng) for bag in sorted(first)]
    some = [bag for bag in kept if bag["id"] % 20 == 0]
    return {
        "bean": [_bean(n + 1) for n in range(beans)],
        "bag": kept,
        "frozen_span": [
            {"bag_id": b["id"], "from_on": b["roasted_on"], "to_on": b["opened_on"]} for b in some
        ],
        "bag_correction": [
            {"bag_id": b["id"], "noted_on": b["opened_on"], "grams": -6.0, "why": "spilled"}
            for b in some
        ],
    }


def _bean(n: int) -> Row:
    return {
        "id": n,
        "name": f"Bean {n} {WORDS[n % len(WORDS)]}",
        "roaster": f"Roastery {n % 37}",
        "origin": f"Country {n % 23}",
        "process": ("washed", "natural")[n % 2],
        "robusta_pct": 30.0 if n % 29 == 0 else 0.0,
        "decaf": n % 17 == 0,
    }


def _bag(bag: int, beans: int, first: date, last: date, is_open: bool, rng: Random) -> Row:
    return {
        "id": bag,
        "bean_id": 1 + bag % beans,
        "roasted_on": first - timedelta(days=rng.randint(5, 16)),
        "opened_on": first,
        "finished_on": None if is_open else last,
        "net_g": 2900.0 if bag == BIG_BAG else 350.0,
        "price_minor": rng.randint(700, 2400),
    }


def filters(made: list[Row], rng: Random) -> tuple[dict[str, list[Row]], list[Row]]:
    """Packs and filters as the brews need them, and the uses."""
    kept: list[Row] = [{"id": METAL_FILTER, "pack_id": 1, "number": 1, "retired_on": None}]
    uses: list[Row] = []
    in_use: list[list[int]] = []  # [filter, uses left], the one to take next at the end
    for brew in made:
        stack = _stack(brew, in_use, kept, rng)
        uses += [
            {"brew_id": brew["id"], "position": n, "brewed_at": brew["brewed_at"], "filter_id": one}
            for n, one in enumerate(stack, start=1)
        ]
        for paper in [paper for paper in in_use if paper[1] == 0]:
            kept[paper[0] - 1]["retired_on"] = brew["brewed_on"]
            in_use.remove(paper)
    for paper in kept[-2:]:
        paper["retired_on"] = None
    packs = max(FEWEST_PACKS, kept[-1]["pack_id"] + SPARE_PACKS)
    return {"filter_pack": [_pack(n + 1) for n in range(packs)], "filter": kept}, uses


def _stack(brew: Row, in_use: list[list[int]], kept: list[Row], rng: Random) -> list[int]:
    drawn = rng.random()
    if drawn < 0.05:
        return [METAL_FILTER]
    if drawn < 0.10:
        return []
    wanted = 2 if drawn < 0.12 else 1
    while len(in_use) < wanted:
        paper = len(kept) + 1
        pack, number = divmod(paper - 2, PAPERS_A_PACK)
        kept.append({"id": paper, "pack_id": pack + 2, "number": number + 1, "retired_on": None})
        in_use.insert(0, [paper, rng.randint(1, MOST_USES)])
    for paper in in_use[-wanted:]:
        paper[1] -= 1
    return [paper[0] for paper in in_use[-wanted:]]


def _pack(n: int) -> Row:
    metal = n == 1
    return {
        "id": n,
        "name": "Metal filter" if metal else f"Papers {n}",
        "material": "metal" if metal else "paper",
        "count": 1 if metal else PAPERS_A_PACK,
        "bought_on": date(2026, 1, 1) - timedelta(days=n),
        "price_minor": 600,
        "mass_g": 9.0 if metal else 0.17,
    }


def tastings(made: list[Row], rng: Random) -> Iterator[Row]:
    for brew in made:
        if rng.random() < 0.5:
            for taster in (1, 2) if rng.random() < 0.2 else (1,):
                yield _tasting(brew, taster, rng)


def _tasting(brew: Row, taster: int, rng: Random) -> Row:
    words = ", ".join(rng.sample(WORDS, 2)) if rng.random() < 0.4 else ""
    scales = ("strength", "sweetness", "acidity", "bitterness", "body", "clarity")
    return {
        "entry_key": str(UUID(int=rng.getrandbits(128), version=4)),
        "brew_id": brew["id"],
        "taster_id": taster,
        "tasted_at": brew["brewed_at"] + timedelta(minutes=10),
        "zone": ZONE,
        "blind": rng.random() < 0.1,
        "liking": rng.randint(3, 9),
        "words": words,
        "note": "",
        "text_search": words,
        **{f"jar_{scale}": rng.choice((2, 3, 3, 3, 4)) for scale in scales},
    }


def side_by_sides(made: list[Row], rng: Random) -> list[Row]:
    """Pairs of neighbours among the latest brews that are not in the bin."""
    there = [brew for brew in made[-2 * LATEST :] if brew["binned_at"] is None]
    places = rng.sample(range(1, len(there)), PAIRS)
    return [
        {
            "brew_a_id": there[place - 1]["id"],
            "brew_b_id": there[place]["id"],
            "saved_at": there[place]["brewed_at"] + timedelta(hours=1),
            "preference": rng.choice(("a", "b", "neither", None)),
            "note": "The second one was rounder." if rng.random() < 0.5 else "",
        }
        for place in places
    ]
