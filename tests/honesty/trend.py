"""Trends of whole-number likings over a bag's days: false ones, found ones, and their ranges.

Truths of our own: a level or a slope a day, noise of .8 that may resemble the day before (AR(1)),
rounded to whole scores. "At any look": the marks and the end are all there is to look at, since a
page opened on other days says what was read before.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from app.sensory.lazy import Floats
from app.sensory.scores.trend import Scored, Trend, read_trend
from tests.honesty.table import Figure, at_least, at_most

RUNS = 1200
NOISE = 0.8
SIXTY_DAYS, A_BAG = 60, 22
FEW_DAYS = ((4, 1), (5, 1), (6, 1), (9, 1), (3, 2), (4, 2), (1,) * 5, (2,) * 5, (4, 1, 1, 1, 1))


class Found(NamedTuple):
    """Shares of runs: a direction claimed at any look, the wrong one, a range that held the slope
    (of all looks, and of the last)."""

    claimed: float
    wrong: float
    held: float
    held_last: float


def checks() -> Iterator[Figure]:
    rng = np.random.default_rng(20)
    level = runs(rng, SIXTY_DAYS, 0.0)
    yield at_most("no trend, 60 daily looks: direction claimed", 0.05, level.claimed)
    yield at_least("no trend, 60 daily looks: range holds it", 0.93, level.held)
    alike = runs(rng, SIXTY_DAYS, 0.0, lag1=0.3)
    yield at_most("the same, days alike (lag-1 .3): direction claimed", 0.10, alike.claimed)
    yield at_least("the same, days alike: range holds it", 0.93, alike.held)
    for slope in (-0.02, -0.05, -0.08, -0.12):
        bag = runs(rng, A_BAG, slope)
        said = f"{slope:+.2f} a day, 22 cups, at the bag's end"
        if slope == -0.08:
            yield at_least(f"{said}: found", 0.60, bag.claimed - bag.wrong)
        yield at_most(f"{said}: wrong direction", 0.05, bag.wrong)
        yield at_least(f"{said}: range holds it", 0.93, min(bag.held, bag.held_last))
    for name, whole in (("whole scores", True), ("a meter's values", False)):
        for cups in FEW_DAYS:
            days = "+".join(map(str, cups))
            said = f"no trend, {days} cups a day, {name}: claimed"
            yield at_most(said, 0.05, few(rng, cups, whole=whole))


def runs(rng: np.random.Generator, days: int, slope: float, lag1: float = 0.0) -> Found:
    """One cup a day, looked at daily and at the end."""
    found = [_trend(_values(rng, days, slope, lag1), ended=True) for _ in range(RUNS)]
    held = [[_holds(look.low, slope, look.high) for look in trend.looks] for trend in found]
    right = "rose" if slope > 0 else "fell"
    ways = [{look.way for look in trend.looks} - {None} for trend in found]
    return Found(
        sum(map(bool, ways)) / RUNS,
        sum(bool(way - {right}) for way in ways) / RUNS,
        float(np.mean([one for of_run in held for one in of_run])),
        float(np.mean([of_run[-1] for of_run in held])),
    )


def few(rng: np.random.Generator, cups: Sequence[int], *, whole: bool) -> float:
    """A few cups on a few days, each with a day of its own (deviation .9), at the end."""
    claimed = 0
    for _ in range(RUNS):
        scored = []
        for day, count in enumerate(cups):
            level = rng.normal(6, 0.9)
            values = level + NOISE * rng.normal(size=count)
            scored += [
                Scored(day, day, value)
                for value in (np.clip(np.round(values), 1, 9) if whole else values).tolist()
            ]
        grain = 1.0 if whole else 0.001
        claimed += read_trend(scored, grain=grain, ended=True).found is not None
    return claimed / RUNS


def _values(rng: np.random.Generator, days: int, slope: float, lag1: float) -> list[float]:
    """Whole scores about a middle that lies anywhere between two of them."""
    noise: Floats = rng.normal(size=days)
    for day in range(1, days):
        noise[day] = lag1 * noise[day - 1] + np.sqrt(1 - lag1**2) * noise[day]
    middle = rng.uniform(5.5, 6.5)
    values = middle + slope * (np.arange(days) - (days - 1) / 2) + NOISE * noise
    return [float(value) for value in np.clip(np.round(values), 1, 9)]


def _trend(values: Sequence[float], *, ended: bool) -> Trend:
    scored = [Scored(day, day, value) for day, value in enumerate(values)]
    return read_trend(scored, grain=1.0, ended=ended)


def _holds(low: float | None, slope: float, high: float | None) -> bool:
    return (low is None or low <= slope) and (high is None or slope <= high)
