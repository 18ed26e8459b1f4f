"""Exact false alarms of every rule for stopping, from the chance of each count after each trial.

Both directions: wrongly shown, wrongly close enough, and shown the wrong way round. The range that
a stopped test is given is held against several truths, at every one of 2,000 looks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.sensory.blind.discrimination import correct_share, least_share
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.lines import Lines
from app.sensory.blind.planning import outcomes
from app.sensory.blind.preference_rule import Fixed, preference_lines
from app.sensory.blind.sequential import STEP_BY_STEP_P_D, EveryMorning, Rule
from app.sensory.blind.steps import StepByStep
from tests.honesty.table import Figure, at_least, at_most

LOOKS = 2000
GUESSES = {"1/3": 1 / 3, "1/2": 1 / 2}
SIZES = (0.2, 0.3, 0.4, 0.5)
NUMBERS = range(6, 201)
TRUTHS = (0.05, 0.2, 1 / 3, 0.5, 0.6, 0.75, 0.9)
WRONG_WAY = 0.05


def checks() -> Iterator[Figure]:
    for name, guess in GUESSES.items():
        for both, ways in ((False, "one way"), (True, "both ways")):
            mornings = [EveryMorning(guess, p_d, both) for p_d in SIZES]
            yield from _bounds(f"every morning, guess {name}, {ways}", mornings, LOOKS)
            fixed = [
                FixedNumber(guess, trials, p_d=p_d, both_ways=both)
                for trials in NUMBERS
                for p_d in SIZES
            ]
            yield from _bounds(f"fixed number 6 to 200, guess {name}, {ways}", fixed, NUMBERS[-1])
            steps = [StepByStep(guess, p_d, both_ways=both) for p_d in STEP_BY_STEP_P_D]
            yield from _bounds(f"step by step, guess {name}, {ways}", steps, LOOKS)
    yield from _preferences()
    yield from _ranges()


def _bounds(what: str, rules: Sequence[Rule], most: int) -> Iterator[Figure]:
    """The worst of some rules of one kind, over the sizes that were set beforehand."""
    shown = close = turned = 0.0
    for rule in rules:
        lines, p_d = rule.lines(most), rule.p_d or 0.0
        nothing = outcomes(lines, rule.guess)
        named = outcomes(lines, correct_share(p_d, rule.guess))
        shown, close = max(shown, nothing.shown[-1]), max(close, named.close[-1])
        if rule.both_ways:
            other = outcomes(lines, least_share(p_d, rule.guess))
            close = max(close, other.close[-1])
            turned = max(turned, named.other_way[-1], other.shown[-1] - other.other_way[-1])
    yield at_most(f"{what}: shown by guessing", 0.05, shown)
    yield at_most(f"{what}: close enough at that size", 0.10, close)
    if turned:
        yield at_most(f"{what}: shown the wrong way round", WRONG_WAY, turned)


def _preferences() -> Iterator[Figure]:
    by_coin = outcomes(preference_lines(None, LOOKS), 0.5).shown[-1]
    yield at_most("preference, every morning: shown by a coin", 0.05, by_coin)
    fixed = max(outcomes(preference_lines(Fixed(n), n), 0.5).shown[-1] for n in NUMBERS)
    yield at_most("preference, fixed number 6 to 200: shown by a coin", 0.05, fixed)


def _ranges() -> Iterator[Figure]:
    """A stopped test's range leaves a rate out once the evidence against it, both ways, is 20."""
    missed = 0.0
    for truth in TRUTHS:
        lines = EveryMorning(truth, both_ways=True).lines(LOOKS)
        against = Lines(tuple(band for band in lines.bands if band.end != "close enough"))
        missed = max(missed, outcomes(against, truth).shown[-1])
    yield at_least("the range of a stopped test holds the truth at every look", 0.95, 1 - missed)
