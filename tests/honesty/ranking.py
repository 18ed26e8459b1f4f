"""Recipes in order: whether their ranges hold the truth, and what is called best where all are
alike, or where one is.

Truths are fixed worths of our own, no draws from the prior; pairs in turn, or by chance.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import exp

import numpy as np

from app.sensory.scores.ranking import SURE, Pair, rank
from tests.honesty.table import Figure, at_least, at_most

RUNS, LOOKED_AT = 300, 150
NUMBERS = (6, 10, 15, 30)
FIRST_LOOK = 3
TRUTHS: dict[str, Sequence[float]] = {
    "2 alike": (0, 0),
    "2 far apart": (1.5, -1.5),
    "3 alike": (0, 0, 0),
    "3 in steps": (1.2, 0, -1.2),
    "3, one far below": (1, 0.9, -1.9),
    "5 in steps": (2, 1, 0, -1, -2),
    "5 alike": (0, 0, 0, 0, 0),
}


def checks() -> Iterator[Figure]:
    rng = np.random.default_rng(1952)
    for name, worths in TRUTHS.items():
        for n in NUMBERS:
            held, best = _read(rng, worths, n)
            yield at_least(f"{name}, {n} preferences: range holds the worth", 0.93, held)
            if name.endswith("steps"):
                yield at_most(f"{name}, {n} preferences: another called best", 0.05, best)
    ever = exact_of_two()
    yield at_most(
        "2 alike, looked at after each of 30: one is ever called best (exact)", 0.05, ever
    )
    for name in ("3 alike", "5 alike"):
        ever = _ever_claimed(rng, len(TRUTHS[name]))
        yield at_most(f"{name}, looked at after each of 30: one is ever called best", 0.05, ever)
    far = _found(rng, TRUTHS["2 far apart"])
    yield at_least("2 far apart, 30 preferences: the better one is called best", 0.8, far)


def compared(rng: np.random.Generator, worths: Sequence[float], n: int) -> tuple[Pair, ...]:
    """Pairs in an order by chance, each as often as the others; who is preferred is by chance."""
    pairs = list(combinations(range(len(worths)), 2))
    rng.shuffle(pairs)
    wins = []
    for number in range(n):
        i, j = (int(cup) for cup in pairs[number % len(pairs)])
        first = rng.random() < 1 / (1 + exp(worths[j] - worths[i]))
        wins.append((i, j) if first else (j, i))
    return tuple(wins)


def _read(rng: np.random.Generator, worths: Sequence[float], n: int) -> tuple[float, float]:
    """Share of ranges that hold the truth, and of runs in which another than the best is called
    so."""
    held: list[bool] = []
    wrong = 0
    for _ in range(RUNS):
        found = rank.__wrapped__(len(worths), compared(rng, worths, n))
        for island in found.islands:
            middle = sum(worths[one.cup] for one in island) / len(island)
            if len(island) > 1:
                held += [one.low <= worths[one.cup] - middle <= one.high for one in island]
                best = max(worths[one.cup] for one in island)
                wrong += island[0].best >= SURE and worths[island[0].cup] < best
    return float(np.mean(held)), wrong / RUNS


def _ever_claimed(rng: np.random.Generator, cups: int) -> float:
    claimed = 0
    for _ in range(LOOKED_AT):
        wins = compared(rng, [0.0] * cups, 30)
        claimed += any(_claims(cups, wins[:n]) for n in range(FIRST_LOOK, 31))
    return claimed / LOOKED_AT


def _claims(cups: int, wins: tuple[Pair, ...]) -> bool:
    island = rank.__wrapped__(cups, wins).islands[0]
    return island[0].best >= SURE


def exact_of_two() -> float:
    """Chance that one of two alike is ever called best, passed on along all counts of both."""
    left, claimed = {(0, 0): 1.0}, 0.0
    for n in range(1, 31):
        after: dict[tuple[int, int], float] = {}
        for (a, b), chance in left.items():
            for count in ((a + 1, b), (a, b + 1)):
                after[count] = after.get(count, 0.0) + chance / 2
        told = {
            (a, b)
            for a, b in after
            if n >= FIRST_LOOK and _claims(2, ((0, 1),) * a + ((1, 0),) * b)
        }
        claimed += sum(after[count] for count in told)
        left = {count: chance for count, chance in after.items() if count not in told}
    return claimed


def _found(rng: np.random.Generator, worths: Sequence[float]) -> float:
    found = 0
    for _ in range(RUNS):
        first = rank.__wrapped__(2, compared(rng, worths, 30)).islands[0][0]
        found += first.cup == 0 and first.best >= SURE
    return found / RUNS
