"""A preference under its rule: when it ends, and what a plan for one may expect. Pure sums.

Both cups can win, so a rule has two lines of the same kind: A reaches it, or B does. The chances
are exact, from the same count of all paths as for right and wrong answers.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import comb

from ..sensory.evalue import SHOWN_AT
from ..sensory.lattice import outcomes
from ..sensory.planning import HORIZON, Outlook
from ..sensory.preference import (
    HALF,
    Choice,
    Preference,
    evidence_either,
    fixed_state,
    least_majority,
)
from ..sensory.sequential import Lines

LINE = SHOWN_AT * (1 - 1e-9)


def settled_choices(choices: Sequence[Choice], planned: int | None) -> tuple[int, str] | None:
    """The answer at which the rule first ended the test, and how; ties carry no weight."""
    count = {"A": 0, "B": 0}
    for n, choice in enumerate(choices, 1):
        if choice.preferred is None:
            continue
        count[choice.preferred] += 1
        state = _state(count["A"], count["B"], planned)
        if state != "open":
            return n, state
    return None


def _state(a: int, b: int, planned: int | None) -> str:
    if planned is not None:
        return fixed_state(a, b, planned)
    return "shown" if evidence_either(a, a + b) >= LINE else "open"


@lru_cache(maxsize=16)
def _lines(planned: int | None, most: int) -> Lines:
    if planned is None:
        needed = [_least(n) for n in range(1, most + 1)]
    else:
        majority = least_majority(planned)
        if majority is None:
            raise ValueError(f"{planned} answers are too few to show a preference")
        needed = [min(majority, n + 1) for n in range(1, planned + 1)]
    return Lines(tuple(needed), tuple(n - count for n, count in enumerate(needed, 1)))


def _least(n: int) -> int:
    """The least count of n for one cup that brings the evidence to its line, else n + 1."""
    counts = range(n // 2 + 1, n + 1)
    return next((count for count in counts if evidence_either(count, n) >= LINE), n + 1)


def lines(planned: int | None, most: int = HORIZON) -> Lines:
    """A's counts that show a preference for A (`shown`) and for B (`ended`)."""
    return _lines(planned, most)


def outlook(planned: int | None, p_d: float, most: int = HORIZON) -> Outlook:
    """How often a preference is shown when p_d of answers prefer one cup and the rest toss."""
    both = lines(planned, most)
    found = outcomes(both, HALF + p_d * HALF)
    shown = found.shown[-1] + found.ended[-1]
    return Outlook(p_d, shown, shown, found.mean_trials, len(both.shown))


def fixed_sentence(read: Preference, planned: int, state: str, about: str) -> tuple[str, str]:
    """What a preference with a fixed number says, and what it does not say."""
    needed = least_majority(planned) or planned
    tied = f", {read.ties} without a preference" if read.ties else ""
    counts = f"A preferred {read.a} times, B {read.b} times{tied}"
    if state == "shown":
        cup = "A" if read.a > read.b else "B"
        tail = sum(comb(planned, count) for count in range(needed, planned + 1))
        chance = 200 * tail / 2**planned
        why = f"tossing a coin gives one of the two {needed} or more of {planned}"
        said = f"{counts}: a preference for {cup} is shown, since {why} in only {chance:.2g} tests"
        return f"{said} of 100.", f"It says nothing about how much better, or why. {about}"
    neither = "Neither is shown to be preferred, nor that they are liked the same."
    if state == "undecided":
        return (
            f"{counts}: undecided, since {needed} of {planned} can no longer be reached.",
            neither,
        )
    left = f"{needed} of {planned} for one cup are needed and can still be reached"
    return f"{counts}: open, since {left}.", neither
