"""A panel's critical counts hold whatever places its tasters choose: every deal is counted."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import combinations
from math import comb, lgamma

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import binom

from app.sensory.blind.discrimination import critical_count, p_value
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.methods import PANEL
from app.sensory.blind.panel import (
    ONE_FEWER_OF_THREE,
    ONE_MORE,
    ONE_MORE_OF_THREE,
    ONE_MORE_PREFERRED,
    panel_count,
    panel_counts,
    panel_majority,
)
from app.sensory.blind.planning import outcomes
from app.sensory.blind.preference import least_majority
from app.sensory.blind.serving import key_of, orders
from app.sensory.terms import Method

SIZES = range(PANEL[0], PANEL[1] + 1)
LOG = np.array([lgamma(n + 1) for n in range(PANEL[1] + 1)])
Chances = NDArray[np.float64]


def keys(form: Method, tasters: int) -> dict[tuple[int, ...], float]:
    """How often each place is right in a panel dealt as `balanced` deals it, with its chance."""
    every = orders(form)
    whole, left = divmod(tasters, len(every))
    places = sorted({key_of(form, order) or 0 for order in every})
    found: dict[tuple[int, ...], int] = {}
    for extra in combinations(every, left):
        dealt = [key_of(form, order) or 0 for order in (*every * whole, *extra)]
        counts = tuple(dealt.count(place) for place in places)
        found[counts] = found.get(counts, 0) + 1
    total = sum(found.values())
    return {counts: count / total for counts, count in found.items()}


@cache
def right(chosen: tuple[int, ...], key: tuple[int, ...]) -> Chances:
    """Chances of 0, 1, ... right when so many choose each place and the keys are dealt out."""
    n = sum(key)
    chances = np.zeros(n + 1)
    if len(key) == 2:
        for hits in range(max(0, chosen[0] + key[0] - n), min(chosen[0], key[0]) + 1):
            ways = comb(chosen[0], hits) * comb(chosen[1], key[0] - hits)
            chances[hits + chosen[1] - (key[0] - hits)] += ways / comb(n, key[0])
        return chances
    # Of those who chose a place, so many get each key: x the first key, y the second, z the third.
    grid = [np.arange(min(a, key[k]) + 1) for k in (0, 1) for a in chosen[:2]]
    x1, x2, y1, y2 = (axis.ravel() for axis in np.meshgrid(*grid, indexing="ij"))
    x3, y3 = key[0] - x1 - x2, key[1] - y1 - y2
    rest = [chosen[0] - x1 - y1, chosen[1] - x2 - y2, chosen[2] - x3 - y3]
    there = np.min([x3, y3, *rest], axis=0) >= 0
    log_ways = -LOG[n] + sum(LOG[k] for k in key) + sum(LOG[a] for a in chosen)
    parts = [part[there] for part in (x1, x2, x3, y1, y2, y3, *rest)]
    ways = np.exp(log_ways - sum(LOG[part] for part in parts))
    np.add.at(chances, (x1 + y2 + rest[2])[there], ways)
    return chances


def choices(n: int, places: int) -> Iterator[tuple[int, ...]]:
    """Every number of tasters at each place, the fullest first: the keys favour no place."""
    if places == 2:
        yield from ((a, n - a) for a in range((n + 1) // 2, n + 1))
        return
    for a in range(n + 1):
        yield from ((a, b, n - a - b) for b in range(a + 1) if 0 <= n - a - b <= b)


def false_alarm(form: Method, tasters: int, needed: int) -> float:
    """The greatest chance of `needed` right answers, over all that the tasters may choose."""
    dealt = keys(form, tasters)
    return max(
        sum(float(share * right(chosen, key)[needed:].sum()) for key, share in dealt.items())
        for chosen in choices(tasters, len(next(iter(dealt))))
    )


def one_cup(tasters: int, tied: int, needed: int) -> float:
    """The same for either cup of a preference, where `tied` tasters prefer neither."""
    dealt = [(first, share) for (first, _), share in keys("paired", tasters).items()]
    answers = tasters - tied
    worst = 0.0
    for left in range(answers + 1):
        chance = 0.0
        for first, share in dealt:
            for among in range(max(0, first - tied), min(first, answers) + 1):
                ways = comb(first, among) * comb(tasters - first, answers - among)
                counts = right((left, answers - left), (among, answers - among))
                both = counts[needed:].sum() + counts[: max(0, answers - needed + 1)].sum()
                chance += share * ways / comb(tasters, answers) * float(both)
        worst = max(worst, chance)
    return worst


@pytest.mark.parametrize("form", ["paired", "duo-trio", "A-not-A", "same-different"])
def test_guessing_with_two_places_shows_in_at_most_5_panels_of_100(form: Method) -> None:
    for tasters in SIZES:
        assert false_alarm(form, tasters, panel_count(tasters, 1 / 2)) <= 0.05, tasters


@pytest.mark.parametrize("form", ["triangle", "tetrad", "three-cup"])
def test_guessing_with_three_places_shows_in_at_most_5_panels_of_100(form: Method) -> None:
    for tasters in SIZES:
        assert false_alarm(form, tasters, panel_count(tasters, 1 / 3)) <= 0.05, tasters


def test_the_binomial_count_alone_would_not_hold() -> None:
    for form, guess, sizes in (("paired", 1 / 2, ONE_MORE[2]), ("three-cup", 1 / 3, {7, 9, 16})):
        for tasters in sizes:
            count = critical_count(tasters, guess, 0.05)
            assert count is not None
            assert false_alarm(form, tasters, count) > 0.05  # type: ignore[arg-type]


def test_a_panel_without_a_preference_shows_one_in_at_most_5_of_100() -> None:
    for tasters in SIZES:
        needed = panel_majority(tasters)
        if needed is None:
            assert tasters == 6
            continue
        for tied in range(tasters - needed + 1):
            assert one_cup(tasters, tied, needed) <= 0.05, (tasters, tied)


def test_a_coins_majority_alone_would_not_hold() -> None:
    for tasters in ONE_MORE_PREFERRED:
        assert one_cup(tasters, 0, least_majority(tasters) or 0) > 0.05, tasters


def test_a_panel_too_small_or_too_large_is_refused() -> None:
    for tasters in (PANEL[0] - 1, PANEL[1] + 1):
        with pytest.raises(ValueError, match="6 to 40"):
            panel_count(tasters, 1 / 3)
        with pytest.raises(ValueError, match="6 to 40"):
            panel_majority(tasters)


@pytest.mark.parametrize(("guess", "tasters"), [(1 / 3, 6), (1 / 3, 24), (1 / 2, 8), (1 / 2, 40)])
def test_a_panel_is_read_once_and_at_the_end(guess: float, tasters: int) -> None:
    rule = FixedNumber(guess, tasters, panel=True)
    assert {rule.state(n, n) for n in range(tasters)} == {"open"}
    assert rule.state(rule.needed, tasters) == "shown"
    assert rule.state(rule.needed - 1, tasters) == "undecided"
    found = outcomes(rule.lines(200), guess)
    assert found.mean_trials == pytest.approx(tasters)
    assert found.shown[-1] == pytest.approx(p_value(rule.needed, tasters, guess))
    assert found.shown[-1] + found.ended[-1] == pytest.approx(1)
    assert rule.lines(tasters - 1).shown == tuple(range(2, tasters + 1))


def tails(form: Method, tasters: int) -> tuple[Chances, Chances]:
    """The greatest chances of so many right or fewer, and or more, over all places chosen."""
    dealt = keys(form, tasters)
    every = [
        sum((share * right(chosen, key) for key, share in dealt.items()), np.zeros(tasters + 1))
        for chosen in choices(tasters, len(next(iter(dealt))))
    ]
    low = np.max([chances.cumsum() for chances in every], axis=0)
    high = np.max([chances[::-1].cumsum()[::-1] for chances in every], axis=0)
    return low, high


def test_fault_1_a_panel_of_three_cups_shows_either_way_in_at_most_2_and_a_half_of_100() -> None:
    for tasters in SIZES:
        other, needed = panel_counts(tasters, 1 / 3, both_ways=True)
        low, high = tails("three-cup", tasters)
        assert high[needed] <= 0.025 if needed <= tasters else True
        assert other < 0 or low[other] <= 0.025
        if tasters in ONE_MORE_OF_THREE:
            assert high[needed - 1] > 0.025
        if tasters in ONE_FEWER_OF_THREE:
            assert low[other + 1] > 0.025


def test_fault_1_a_paired_panel_has_the_majority_of_a_preference_either_way() -> None:
    for tasters in SIZES:
        if tasters == 6:
            with pytest.raises(ValueError, match="too few"):
                panel_counts(tasters, 1 / 2, both_ways=True)
            continue
        other, needed = panel_counts(tasters, 1 / 2, both_ways=True)
        assert (other, needed) == (tasters - needed, panel_majority(tasters))


@pytest.mark.parametrize("form", ["paired", "duo-trio", "triangle"])
def test_a_panel_ends_wrongly_close_enough_in_at_most_10_of_100(form: Method) -> None:
    """Who perceives it is right; the others are right as often as the deal of the orders has it."""
    guess, counts, worst = (1 / 3 if form == "triangle" else 1 / 2), 0, 0.0
    for tasters in SIZES:
        dealt = keys(form, tasters)
        for p_d in (0.2, 0.3, 0.4):
            close = FixedNumber(guess, tasters, panel=True, p_d=p_d).close
            if close is None:
                continue
            most, by_luck, counts = close[1], np.arange(tasters + 1), counts + 1
            stays = binom.cdf(most - by_luck, tasters - by_luck, p_d) * (by_luck <= most)
            for chosen in choices(tasters, len(next(iter(dealt)))):
                share = sum(part * float(right(chosen, key) @ stays) for key, part in dealt.items())
                worst = max(worst, share)
    assert counts > 50
    assert 0.05 < worst <= 0.10
