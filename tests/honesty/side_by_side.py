"""One cup against one cup: how often two cups of one recipe are called further apart than repeats.

Truths of our own: whole scores, noise from cup to cup, and mornings that move all of their cups.
The repeats of one or several recipes share a morning, have mornings of their own, or two of each.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

import numpy as np

from app.sensory.scores.repeats import Repeat, against_repeats
from tests.honesty.table import Figure, at_most

RUNS = 1500
FIRST = date(2026, 3, 1)
CUP_SDS = (0.2, 0.5, 0.8, 1.2)
LAYOUTS = {
    "sharing a morning": (0, 0, 0, 0, 0, 0),
    "of six mornings": (0, 1, 2, 3, 4, 5),
    "of three mornings, two a morning": (0, 0, 1, 1, 2, 2),
    "of two mornings": (0, 1),
    "ten, of ten mornings": tuple(range(10)),
}


class Truth(NamedTuple):
    """The days of a recipe's repeats, how many recipes were made on them, and what scatters."""

    days: Sequence[int]
    recipes: int
    one_day: bool
    day_sd: float
    cup_sd: float


def checks() -> Iterator[Figure]:
    rng = np.random.default_rng(21)
    for name, days in LAYOUTS.items():
        for one_day in (True, False):
            worst = max(
                larger(rng, Truth(days, recipes, one_day, day_sd, cup_sd))
                for recipes in (1, 4)
                for day_sd in (0.0, 0.9)
                for cup_sd in CUP_SDS
            )
            pair = "one morning" if one_day else "two"
            yield at_most(f"repeats {name}, a pair of {pair}: called larger", 0.05, worst)


def larger(rng: np.random.Generator, truth: Truth) -> float:
    """Share of pairs without a difference that are called further apart than repeats."""
    called = 0
    for _ in range(RUNS):
        mornings = rng.normal(0, truth.day_sd, len(truth.days) + 2)
        middle = rng.uniform(5, 7)
        groups = [
            [Repeat(FIRST + timedelta(day), _score(rng, middle + mornings[day], truth.cup_sd))
             for day in truth.days]
            for _ in range(truth.recipes)
        ]  # fmt: skip
        b_day = -1 if truth.one_day else -2
        a = _score(rng, middle + mornings[-1], truth.cup_sd)
        b = _score(rng, middle + mornings[b_day], truth.cup_sd)
        found = against_repeats(b - a, groups, one_day=truth.one_day)
        called += found.size == "more than repeats"
    return called / RUNS


def _score(rng: np.random.Generator, level: float, sd: float) -> float:
    return float(min(9, max(1, round(level + rng.normal(0, sd)))))
