"""Identical recipes through every plan for ways of brewing that is accepted.

Brews of one recipe vary with SD 1 in units of one person's tasting noise. How often an answer is
right then comes from a simulation of brews, cups and tasting that knows nothing of the tool; the
chance that the plan's rule shows a difference is exact for that share.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from functools import cache

import numpy as np
from numpy.typing import NDArray

from app.sensory.blind.control import control_power
from app.sensory.blind.design import Choices, refused
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.methods import METHOD_FACTS
from app.sensory.blind.planning import outcomes
from app.sensory.blind.preference_rule import preference_lines
from app.sensory.blind.sequential import EveryMorning, Rule, StepByStep
from app.sensory.terms import METHODS, RULES
from tests.honesty.table import Figure, at_most

DRAWS = 1_000_000
LOOKS, TRIALS, SIZE = 200, 24, 0.4
FRESH, OWN = "fresh pair each trial", "every cup its own"
WAYS = "these ways of brewing"
Cups = NDArray[np.float64]


def plans() -> Iterator[Choices]:
    """Every accepted plan for ways of brewing, poured by somebody else for one taster."""
    for brewing, method, reminder, rule, controls in itertools.product(
        (FRESH, OWN), METHODS, ("no", "yes"), RULES, ("none", "some")
    ):
        choices: Choices = {
            "claim": WAYS, "brewing": brewing, "method": method, "reminder": reminder,
            "tasting": "one", "pouring": "helper", "rule": rule, "controls": controls,
        }  # fmt: skip
        if not refused(choices) and (reminder == "no" or method == "A-not-A"):
            yield choices


@cache
def right_share(method: str, brewing: str, reminder: str, *, seed: int = 5) -> float:
    """Share of right answers where A and B are one recipe."""
    source = np.random.default_rng(seed)
    keys = {
        "triangle": "AAB", "tetrad": "AABB", "three-cup": "AAB", "duo-trio": "AAB",
        "paired": "AB", "preference": "AB", "same-different": "AB", "A-not-A": "A",
    }  # fmt: skip
    letters = keys[method]
    different = source.random(DRAWS) < 0.5  # the coin of A – not A and of same–different
    brews = source.normal(size=(DRAWS, len(letters) + 1))
    if brewing == FRESH:
        brews = brews[:, [letters.index(letter) for letter in letters] + [0]]
        if method == "A-not-A":  # a reminder would come from the A of the trial
            brews[:, 0] = np.where(different, brews[:, 0], brews[:, -1])
    felt = brews + source.normal(size=brews.shape)
    return float(_right(method, felt, different, reminder).mean())


def _right(
    method: str, felt: Cups, different: NDArray[np.bool_], reminder: str
) -> NDArray[np.bool_]:
    """Whether the answer is right, by the rule a taster without bias follows."""
    a, b, c = felt[:, 0], felt[:, 1], felt[:, -1 if felt.shape[1] < 4 else 2]
    if method == "triangle":
        near = np.abs(a - b)
        return np.asarray((near < np.abs(a - c)) & (near < np.abs(b - c)))
    if method == "tetrad":
        d = felt[:, 3]
        apart = [abs(a - b) + abs(c - d), abs(a - c) + abs(b - d), abs(a - d) + abs(b - c)]
        return np.asarray((apart[0] < apart[1]) & (apart[0] < apart[2]))
    if method == "three-cup":
        return np.asarray((c > a) & (c > b))
    if method == "duo-trio":
        return np.asarray(np.abs(a - b) < np.abs(a - c))
    if method in ("paired", "preference"):
        return np.asarray(b > a)
    said_different = np.abs(a - b) > 1.5 if method == "same-different" else a > 0.3
    if method == "A-not-A" and reminder == "yes":
        said_different = np.abs(a - felt[:, -1]) > 1.5
    return np.asarray(said_different == different)


def shown(choices: Choices) -> float:
    method, brewing = choices["method"], choices["brewing"]
    share = right_share(method, brewing, choices["reminder"])
    if choices["controls"] == "some" and brewing == FRESH:
        control = right_share(method, brewing, choices["reminder"], seed=6)
        return control_power(TRIALS, TRIALS, share, control)
    if method == "preference":
        lines = preference_lines(None, LOOKS)
        return outcomes(lines, share).shown[-1]
    return outcomes(_rule(choices).lines(LOOKS), share).shown[-1]


def _rule(choices: Choices) -> Rule:
    (facts,) = (one for name, one in METHOD_FACTS.items() if name == choices["method"])
    guess, both = float(facts.guess), facts.both_ways
    if choices["rule"] == "every morning":
        return EveryMorning(guess, SIZE, both)
    if choices["rule"] == "step by step":
        return StepByStep(guess, SIZE, 0.05, 0.10, both)
    return FixedNumber(guess, TRIALS, p_d=SIZE, both_ways=both)


def checks() -> Iterator[Figure]:
    """The worst of the rules and numbers of controls for each way to pour each method."""
    worst: dict[str, float] = {}
    for choices in plans():
        reminded = ", reminder" if choices["reminder"] == "yes" else ""
        by_luck = choices["controls"] == "some" and choices["brewing"] == FRESH
        against = ", by A against A" if by_luck else ""
        name = f"{choices['method']}{reminded}, {choices['brewing']}{against}"
        worst[name] = max(worst.get(name, 0.0), shown(choices))
    for name, found in worst.items():
        yield at_most(f"one recipe, brews of SD 1, {name}: shown", 0.05, found)
