"""Exact false alarms of every rule for stopping, from the chance of each count after each trial."""

from __future__ import annotations

from collections.abc import Iterator

from app.sensory.blind.planning import outcomes
from app.sensory.blind.sequential import STEP_BY_STEP_P_D, EveryMorning, FixedNumber, StepByStep
from tests.honesty.table import Figure, at_most

LOOKS = 2000
GUESSES = {"1/3": 1 / 3, "1/2": 1 / 2}
SIZES = (0.2, 0.3, 0.4, 0.5)


def checks() -> Iterator[Figure]:
    for name, guess in GUESSES.items():
        lines = EveryMorning(guess).lines(LOOKS)
        found = outcomes(lines, guess).shown[-1]
        yield at_most(f"every morning, guess {name}: shown by guessing", 0.05, found)
        worst = max(
            outcomes(rule.lines(LOOKS), rule.p1).ended[-1]
            for rule in (EveryMorning(guess, p_d) for p_d in SIZES)
        )
        yield at_most(f"every morning, guess {name}: close enough at that size", 0.10, worst)
        fixed = max(
            outcomes(FixedNumber(guess, trials).lines(trials), guess).shown[-1]
            for trials in range(6, 201)
        )
        yield at_most(f"fixed number 6 to 200, guess {name}: shown by guessing", 0.05, fixed)
        steps = max(
            outcomes(StepByStep(guess, p_d).lines(LOOKS), guess).shown[-1]
            for p_d in STEP_BY_STEP_P_D
        )
        yield at_most(f"step by step, guess {name}: shown by guessing", 0.05, steps)
