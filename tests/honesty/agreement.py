"""Whether the range of two tasters' agreement holds the agreement that was planted.

Truths of our own: what a cup is, a day that moves both tasters, a noise of each, whole scores; the
kappa that many cups of such a kitchen come to.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from app.sensory.scores.agreement import Both, agreement, weighted_kappa
from tests.honesty.table import Figure, at_least

RUNS = 500
MANY = 40_000


def checks() -> Iterator[Figure]:
    rng = np.random.default_rng(23)
    for own in (0.5, 1.0, 2.0):
        for more in (0.0, 0.7):
            truth = weighted_kappa(kitchen(rng, MANY, 1, own, more)) or 0.0
            for days, a_day in ((20, 1), (15, 2), (40, 1)):
                held = [_holds(kitchen(rng, days, a_day, own, more), truth) for _ in range(RUNS)]
                said = f"{days} days, {a_day} a day, kappa {truth:.2f}: range holds it"
                yield at_least(said, 0.92, float(np.mean(held)))


def kitchen(rng: np.random.Generator, days: int, a_day: int, own: float, more: float) -> list[Both]:
    cups = []
    for day in range(days):
        today = rng.normal(6, 0.4)
        for _ in range(a_day):
            cup = today + rng.normal(0, 1.0)
            first, second = (
                float(np.clip(np.round(cup + extra + rng.normal(0, own)), 1, 9))
                for extra in (0.0, more)
            )
            cups.append(Both(day, first, second))
    return cups


def _holds(cups: list[Both], truth: float) -> bool:
    found = agreement(cups)
    return bool(
        found
        and found.low is not None
        and found.high is not None
        and found.low <= truth <= found.high
    )
