"""A – not A and same–different: no habit of answering is taken for a difference, and the range of
d' covers it at the stop.

Against a fair coin the chances are exact. That the keys are one is held against the tool's own
draw: a habit knows every earlier key of its test, as a taster does who is shown each one, and may
match them no better than a coin, and be "shown" no more often than the rule allows in 200 looks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from random import Random

import numpy as np
from numpy.typing import NDArray

from app.sensory.blind.detection import Detection, Said, a_not_a, same_different
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.planning import outcomes
from app.sensory.blind.sequential import EveryMorning, Rule, StepByStep
from app.sensory.blind.serving import draw
from app.sensory.terms import Method
from tests.honesty.table import Figure, at_least, at_most

TESTS, LOOKS, SEED = 2000, 200, 8588
HALF = 0.5
NEAR_HALF = 0.502  # of 400,000 answers: 2.5 standard errors
LOOK = {True: EveryMorning(HALF, both_ways=True), False: EveryMorning(HALF)}
RULES: dict[str, Rule] = {
    "same–different, every morning": LOOK[False],
    "same–different, step by step": StepByStep(HALF, 0.4),
    "same–different, fixed number 30": FixedNumber(HALF, 30),
    "A – not A, every morning": LOOK[True],
    "A – not A, step by step": StepByStep(HALF, 0.4, both_ways=True),
    "A – not A, fixed number 30": FixedNumber(HALF, 30, both_ways=True),
}
Grid = NDArray[np.bool_]  # tests by trials


def checks() -> Iterator[Figure]:
    for name, rule in RULES.items():
        found = outcomes(rule.lines(LOOKS), HALF).shown[-1]
        yield at_most(f"{name}: a coin, whatever the habit, is shown by look {LOOKS}", 0.05, found)
    for name, keys in _keys().items():
        right = [keys == habit(keys) for habit in HABITS]
        worst = max(_shown(LOOK[name != "same–different"], one) for one in right)
        yield at_most(f"{name}, every morning: shown with the worst of our habits", 0.05, worst)
        matched = max(float(one.mean()) for one in right)
        yield at_most(f"{name}: share right with the worst of our habits", NEAR_HALF, matched)
    for distance, criterion in ((0.0, 0.8), (1.0, 0.5), (1.0, 1.5), (2.5, 1.0)):
        held = _covered(_a_not_a(distance, criterion), a_not_a, distance)
        what = f"A – not A, d' {distance}, criterion {criterion}: range of d' covers at the stop"
        yield at_least(what, 0.95, held)
    for distance, tau in ((0.0, 1.0), (1.5, 0.8), (3.0, 2.0)):
        held = _covered(_pairs(distance, tau), same_different, distance)
        what = f"same–different, d' {distance}, line {tau}: range of d' covers at the stop"
        yield at_least(what, 0.95, held)


def _keys() -> dict[str, Grid]:
    """Whether the first word is right, as the tool draws it; alone, with a tray whose turn always
    leaves mark 1 on the left."""
    methods: dict[str, tuple[Method, bool]] = {
        "A – not A": ("A-not-A", False),
        "A – not A alone": ("A-not-A", True),
        "same–different": ("same-different", False),
    }
    return {name: _drawn(method, tray) for name, (method, tray) in methods.items()}


def _drawn(method: Method, tray: bool) -> Grid:
    source = Random(SEED)
    cups = [draw(method, source, tray=tray).cups for _ in range(TESTS * LOOKS)]
    right = [c[0] == "A" if method == "A-not-A" else c[0] == c[1] for c in cups]
    return np.array(right).reshape(TESTS, LOOKS)


def _always(keys: Grid) -> Grid:
    return np.ones_like(keys)


def _alternating(keys: Grid) -> Grid:
    return np.broadcast_to(np.arange(keys.shape[1]) % 2 == 0, keys.shape)


def _the_last_again(keys: Grid) -> Grid:
    return np.hstack([np.ones((len(keys), 1), bool), keys[:, :-1]])


def _not_the_last(keys: Grid) -> Grid:
    return ~_the_last_again(keys)


def _what_was_rarer(keys: Grid) -> Grid:
    seen = np.cumsum(np.where(keys, 1, -1), axis=1)
    return np.hstack([np.ones((len(keys), 1), bool), seen[:, :-1] <= 0])


def _what_was_commoner(keys: Grid) -> Grid:
    return ~_what_was_rarer(keys)


def _learning(keys: Grid) -> Grid:
    """After each run of three keys, what followed it more often so far in this test."""
    said, tests = np.ones_like(keys), np.arange(len(keys))
    followed = np.zeros((len(keys), 8), dtype=int)
    for n in range(3, keys.shape[1]):
        run = keys[:, n - 3] * 4 + keys[:, n - 2] * 2 + keys[:, n - 1]
        said[:, n] = followed[tests, run] >= 0
        followed[tests, run] += np.where(keys[:, n], 1, -1)
    return said


HABITS: tuple[Callable[[Grid], Grid], ...] = (
    _always, _alternating, _the_last_again, _not_the_last, _what_was_rarer, _what_was_commoner,
    _learning,
)  # fmt: skip


def _shown(rule: Rule, right: Grid) -> float:
    """The share of tests that are ever shown, whichever way."""
    return float(_crossed(rule, np.cumsum(right, axis=1)).any(axis=1).mean())


def _crossed(rule: Rule, counts: NDArray[np.int_]) -> Grid:
    """Where the counts of tests show a difference; close enough before does not end a test here."""
    bands = [band for band in rule.lines(LOOKS).bands if band.end in ("shown", "other way")]
    inside = [(np.array(band.low) <= counts) & (counts <= np.array(band.high)) for band in bands]
    return np.logical_or.reduce(inside)


def _a_not_a(distance: float, criterion: float) -> tuple[Grid, Grid]:
    """Keys, and what a taster says who calls A what is felt under a line: "not A" lies higher."""
    rng = np.random.default_rng(SEED)
    is_a = rng.integers(0, 2, (TESTS, LOOKS)).astype(bool)
    felt = rng.normal(np.where(is_a, 0.0, distance), 1)
    return is_a, felt < criterion


def _pairs(distance: float, tau: float) -> tuple[Grid, Grid]:
    rng = np.random.default_rng(SEED)
    same = rng.integers(0, 2, (TESTS, LOOKS)).astype(bool)
    apart = rng.normal(0, 1, same.shape) - rng.normal(np.where(same, 0.0, distance), 1)
    return same, np.abs(apart) < tau


def _covered(
    taster: tuple[Grid, Grid], read: Callable[[Said], Detection], distance: float
) -> float:
    """How often the range holds the distance where the rule ends the test, or at the last look."""
    keys, said = taster
    over = _crossed(LOOK[read is a_not_a], np.cumsum(keys == said, axis=1))
    stops = np.where(over.any(axis=1), over.argmax(axis=1) + 1, LOOKS)
    held = 0
    for key, words, stop in zip(keys, said, stops.tolist(), strict=True):
        key, words = key[:stop], words[:stop]
        hits, alarms = int((key & words).sum()), int((~key & words).sum())
        found = read(Said(hits, int(key.sum()), alarms, int((~key).sum())))
        held += found.low <= distance <= found.high
    return held / len(keys)
