"""Small experiments: whether their ranges cover, and what is called found where nothing is.

Truths of our own, none of them a quadratic: a step that levels off in one setting, a hump in the
other; scores rounded to whole points, noise .8; and a drift over the bag that rises and falls by
one to two points. The order is drawn as the page draws it, brews are off their settings as hands
are, and some are missed. The range of a suggestion is held at the place that was suggested.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from itertools import product
from math import exp, prod, sin, tanh

import numpy as np

from app.sensory.scores.design import Design, schedule
from app.sensory.scores.design_next import fit_surface, suggest_next
from app.sensory.scores.effects import Tried, fit_effects
from tests.honesty.table import Figure, at_least, at_most

RUNS, WITH_NOTHING = 600, 2000
NOISE = 0.8
OFF = 0.06  # of half the span, how far hands are from a setting
MISSED = 0.08
DESIGNS = (
    Design(2, 1, 2), Design(2, 2, 2), Design(2, 3, 3), Design(2, 4, 4), Design(3, 1, 4),
    Design(3, 2, 4), Design(2, 6, 6),
)  # fmt: skip

Truth = Callable[[tuple[float, ...]], float]
Drift = Callable[[float], float]


def _nothing(_: tuple[float, ...]) -> float:
    return 6.0


def _bent(at: tuple[float, ...]) -> float:
    """Levels off in the first setting, with a hump in the second; no quadratic."""
    step = 0.8 * tanh(2 * (at[0] - 0.3))
    return 5.6 + step + 0.8 * exp(-3 * (at[1] + 0.2) ** 2) - 0.3 * at[0] * at[1]


def _still(_: float) -> float:
    return 0.0


def _ageing(share: float) -> float:
    """Of the days from the first to the last."""
    return 2 * sin(3 * share) - 1.2 * share


def checks() -> Iterator[Figure]:
    rng, source = np.random.default_rng(44), random.Random(44)  # no key
    for design in DESIGNS:
        said = f"{design.runs} brews, {design.factors} factors"
        held, places, _ = _shares(rng, source, design, _bent, _ageing)
        yield at_least(f"experiment, {said}, bent and ageing: effects in their range", 0.94, held)
        yield at_least(f"experiment, {said}, bent and ageing: gain in its range", 0.93, places)
        for name, drift in (("steady", _still), ("ageing", _ageing)):
            *_, claimed = _shares(rng, source, design, _nothing, drift)
            yield at_most(f"experiment, {said}, no effect, {name}: any called found", 0.05, claimed)


def _shares(
    rng: np.random.Generator, source: random.Random, design: Design, truth: Truth, drift: Drift
) -> tuple[float, float, float]:
    """Of effects in their range, of suggestions in theirs, of experiments that found anything."""
    held, places, claimed = [], [], []
    for _ in range(WITH_NOTHING if truth is _nothing else RUNS):
        tried = _brewed(rng, source, design, truth, drift)
        effects = fit_effects(tried)
        claimed.append(effects is not None and any(one.found for one in effects.effects))
        surface = None if truth is _nothing else fit_surface(tried)
        if effects is None or surface is None:
            continue
        true = [_effect(truth, design.factors, one.factors) for one in effects.effects]
        held += [one.low <= at <= one.high for one, at in zip(effects.effects, true, strict=True)]
        best = suggest_next(surface, effects)
        gain = truth(best.coded) - truth((0.0,) * design.factors)
        places.append(best.low <= gain <= best.high)
    shares = (np.mean(of) if of else 1.0 for of in (held, places, claimed))
    covered, kept, found = (float(share) for share in shares)
    return covered, kept, found


def _brewed(
    rng: np.random.Generator, source: random.Random, design: Design, truth: Truth, drift: Drift
) -> list[Tried]:
    tried, day = [], 0.0
    for run in schedule(design, source):
        day += 1 + rng.geometric(0.7) - 1
        if design.runs > 6 and rng.random() < MISSED:
            continue
        at = tuple(level + float(rng.normal(0, OFF)) for level in run.levels)
        score = truth(at) + drift(day / (1.45 * design.runs)) + float(rng.normal(0, NOISE))
        tried.append(Tried(at, float(min(9, max(1, round(score)))), day))
    return tried


def _effect(truth: Truth, factors: int, term: tuple[int, ...]) -> float:
    """The true effect: over the corners, and of the middle against them."""
    corners = list(product((-1.0, 1.0), repeat=factors))
    if not term:
        return truth((0.0,) * factors) - float(np.mean([truth(one) for one in corners]))
    return 2 * float(np.mean([prod(one[n] for n in term) * truth(one) for one in corners]))
