"""Every range that pages show, at 6 to 30: how often it holds what is true, of 95 in 100.

Truths are unlike the models: whole scores from 1 to 9, skewed ones that crowd below the top of the
scale, and days that resemble the day before (lag-1 .3). What is true is the mean of many such
scores, since a clipped scale has another one than its makers.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cache

import numpy as np

from app.sensory.blind.evalue import interval
from app.sensory.lazy import Floats
from app.sensory.scores.agreement import Both, agreement, weighted_kappa
from app.sensory.scores.apart import Days, apart
from app.sensory.scores.balance import Thing, beside
from app.sensory.scores.penalties import Answer, penalties
from app.sensory.scores.ranking import rank
from app.sensory.scores.repeats import Repeat, spread_of_repeats
from app.sensory.scores.trend import Scored, read_trend
from tests.honesty.household import day_of
from tests.honesty.ranking import compared
from tests.honesty.table import Figure, at_least

RUNS, SLOW_RUNS, MANY = 1000, 300, 200_000
NUMBERS = (6, 10, 15, 20, 30)
LEAST = 0.93
EFFECT = 0.7
SLOPE = -0.05
LAG_1 = 0.3
DAY_SD, CUP_SD = 0.5, 0.8

Scores = Callable[[np.random.Generator, int], Floats]
Ends = tuple[float | None, float | None]


def whole(values: Floats) -> Floats:
    """As they are noted."""
    noted: Floats = np.clip(np.round(values), 1, 9)
    return noted


def plain(rng: np.random.Generator, days: int) -> Floats:
    """Each day a level of its own."""
    return 5.6 + DAY_SD * rng.normal(size=days)


def skewed(rng: np.random.Generator, days: int) -> Floats:
    """Mostly good, now and then a bad day."""
    return 8.2 - rng.gamma(2.0, 0.6, days)


def resembling(rng: np.random.Generator, days: int) -> Floats:
    noise = rng.normal(size=days)
    for day in range(1, days):
        noise[day] = LAG_1 * noise[day - 1] + np.sqrt(1 - LAG_1**2) * noise[day]
    return 5.6 + DAY_SD * noise


LEVELS: Mapping[str, Scores] = {
    "whole scores": plain, "skewed": skewed, "days alike": resembling,
}  # fmt: skip


@cache
def mean_of(levels: str, more: float) -> float:
    """The mean of many scores that lie `more` above these levels."""
    rng = np.random.default_rng(5)
    worth = LEVELS[levels](rng, MANY) + more + CUP_SD * rng.normal(size=MANY)
    return float(whole(worth).mean())


def checks() -> Iterator[Figure]:
    rng = np.random.default_rng(95)
    kinds: Mapping[str, Callable[[np.random.Generator, str, int], Ends]] = {
        "mean difference, days with both": of_pairs,
        "mean difference, days of each": of_days,
        "the same with a line in the age taken out": of_days_less_age,
        "penalty of four cups in ten": of_penalty,
    }
    for name, ends in kinds.items():
        for levels in LEVELS:
            true = mean_of(levels, EFFECT) - mean_of(levels, 0.0)
            for n in NUMBERS:
                held = [_within(ends(rng, levels, n), true) for _ in range(RUNS)]
                yield _figure(f"{name}, {levels}", n, held)
    for levels in LEVELS:
        for n in NUMBERS:
            held = [_within(of_trend(rng, levels, n), SLOPE) for _ in range(SLOW_RUNS)]
            yield _figure(f"slope in a bag, {levels}", n, held)
            yield _figure(f"two cups of one recipe, {levels}", n, repeats(rng, levels, n))
    for n in NUMBERS[-2:]:
        yield _figure("weighted kappa, skewed", n, [kappa(rng, n) for _ in range(SLOW_RUNS)])
    for n in NUMBERS:
        yield _figure("worth of a recipe of three", n, worths(rng, n))
        for share in (0.4, 0.6, 0.85):
            wins = rng.binomial(n, share, RUNS)
            held = [_within(interval(int(won), n), share) for won in wins]
            yield _figure(f"share of preferences, truly {share}", n, held)


def _figure(what: str, n: int, held: list[bool]) -> Figure:
    return at_least(f"{what}, {n} ({len(held)} runs)", LEAST, float(np.mean(held)))


def _within(ends: Ends, true: float) -> bool:
    low, high = ends
    return (low is None or low <= true) and (high is None or true <= high)


def of_pairs(rng: np.random.Generator, levels: str, n: int) -> Ends:
    level = LEVELS[levels](rng, n)
    a, b = (whole(level + more + CUP_SD * rng.normal(size=n)) for more in (EFFECT, 0.0))
    return _ends(dict(enumerate(a.tolist())), dict(enumerate(b.tolist())))


def of_days(rng: np.random.Generator, levels: str, n: int) -> Ends:
    """n days of each, by lot."""
    a, b = _two(rng, levels, n)
    return _ends(a, b)


def of_days_less_age(rng: np.random.Generator, levels: str, n: int) -> Ends:
    """The range of the balance: something that differs between the groups is taken out."""
    a, b = _two(rng, levels, n)
    days = Days(a, b)
    found = apart(days)
    assert found
    cups = [(day, True) for day in a] + [(day, False) for day in b]
    ages = [float(rng.normal(0.8 * in_a)) for _, in_a in cups]
    (row,) = beside([Thing("age", ages)], cups, days, found)
    return (row.low, row.high) if row.low is not None else (found.low, found.high)


def of_penalty(rng: np.random.Generator, levels: str, n: int) -> Ends:
    """A cup a day, four in ten too bitter; without end where these are too few for a range."""
    bitter = rng.permutation(n) < round(0.4 * n)
    worth = LEVELS[levels](rng, n) + EFFECT * ~bitter + CUP_SD * rng.normal(size=n)
    rows = zip(whole(worth).tolist(), bitter.tolist(), strict=True)
    said = [Answer(day, liking, 3 + is_so) for day, (liking, is_so) in enumerate(rows)]
    read = penalties({"bitterness": said})
    return (read[0].found.low, read[0].found.high) if read else (None, None)


def _two(
    rng: np.random.Generator, levels: str, n: int
) -> tuple[dict[int, float], dict[int, float]]:
    level, in_a = LEVELS[levels](rng, 2 * n), rng.permutation(2 * n) < n
    scores = whole(level + EFFECT * in_a + CUP_SD * rng.normal(size=2 * n))
    a, b = ({d: float(scores[d]) for d in range(2 * n) if in_a[d] == it} for it in (True, False))
    return a, b


def _ends(a: dict[int, float], b: dict[int, float]) -> Ends:
    found = apart(Days(a, b))
    assert found
    return found.low, found.high


def of_trend(rng: np.random.Generator, levels: str, n: int) -> Ends:
    """One cup a day; skewed levels are kept off the top, where a line is none any more."""
    level = LEVELS[levels](rng, n) - (1.0 if levels == "skewed" else 0.0)
    values = whole(level + SLOPE * np.arange(n) + CUP_SD * rng.normal(size=n))
    scored = [Scored(day, day, value) for day, value in enumerate(values.tolist())]
    look = read_trend(scored, grain=1.0, ended=True).looks[-1]
    return look.low, look.high


def repeats(rng: np.random.Generator, levels: str, n: int) -> list[bool]:
    """Whether two new cups of two mornings stay within what n repeats say."""
    held: list[bool] = []
    for _ in range(SLOW_RUNS):
        worth = LEVELS[levels](rng, n + 4)
        scores = whole(worth + CUP_SD * rng.normal(size=n + 4)).tolist()
        group = [Repeat(day_of(day), score) for day, score in enumerate(scores[:n])]
        found = spread_of_repeats([group], one_day=False)
        assert found
        held += [abs(scores[n] - scores[n + 2]) <= found.range_95,
                 abs(scores[n + 1] - scores[n + 3]) <= found.range_95]  # fmt: skip
    return held


def kappa(rng: np.random.Generator, n: int) -> bool:
    found = agreement(_both(rng, n))
    assert found
    return _within((found.low, found.high), _true_kappa())


def _both(rng: np.random.Generator, n: int) -> list[Both]:
    cup = skewed(rng, n)
    first, second = (whole(cup + CUP_SD * rng.normal(size=n)).tolist() for _ in range(2))
    return [Both(day, *pair) for day, pair in enumerate(zip(first, second, strict=True))]


@cache
def _true_kappa() -> float:
    return weighted_kappa(_both(np.random.default_rng(6), MANY // 4)) or 0.0


def worths(rng: np.random.Generator, n: int) -> list[bool]:
    """Recipes that lie 1.2 apart on the model's scale."""
    true = (1.2, 0.0, -1.2)
    held: list[bool] = []
    for _ in range(SLOW_RUNS):
        for island in rank.__wrapped__(3, compared(rng, true, n)).islands:
            middle = sum(true[one.cup] for one in island) / len(island)
            if len(island) > 1:
                held += [one.low <= true[one.cup] - middle <= one.high for one in island]
    return held
