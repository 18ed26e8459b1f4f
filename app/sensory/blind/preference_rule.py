"""A preference under its rule: when it ends, and what a plan for one may expect. Pure sums.

Both cups can win, so a rule has two lines of the same kind: A reaches it, or B does. The chances
are exact, from the same count of all paths as for right and wrong answers.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import sub

from app.sensory.blind.lines import Band, Lines
from app.sensory.blind.panel import panel_majority
from app.sensory.blind.planning import HORIZON, Outlook, outcomes
from app.sensory.blind.preference import (
    COIN,
    LINE,
    Choice,
    evidence_either,
    fixed_state,
    least_majority,
)
from app.sensory.terms import State


@dataclass(frozen=True)
class Fixed:
    """A number of answers fixed beforehand; a panel is only read once everybody has answered."""

    answers: int
    panel: bool = False

    @property
    def needed(self) -> int:
        """Answers for one cup that show a preference."""
        majority = panel_majority(self.answers) if self.panel else least_majority(self.answers)
        if majority is None:
            raise ValueError(f"{self.answers} answers are too few to show a preference")
        return majority


def settled_choices(
    choices: Sequence[Choice | None], fixed: Fixed | None
) -> tuple[int, State] | None:
    """The answer at which the rule first ended the test, and how; ties carry no weight.

    Where a mark was lost (None) the answer may have been for either cup: it counts against
    whichever is shown, so that nothing is gained by losing some.
    """
    if fixed and fixed.panel:
        return _settled_panel([choice for choice in choices if choice], fixed)
    a = b = lost = 0
    for n, choice in enumerate(choices, 1):
        preferred = choice.preferred if choice else None
        a, b, lost = a + (preferred == "A"), b + (preferred == "B"), lost + (choice is None)
        if _shown(a, b + lost, fixed) or _shown(b, a + lost, fixed):
            return n, "shown"
        if fixed and max(a, b) + fixed.answers - a - b - lost < fixed.needed:
            return n, "undecided"
    return None


def _shown(count: int, others: int, fixed: Fixed | None) -> bool:
    """Whether this cup is shown to be preferred."""
    return count > others and _state(count, others, fixed) == "shown"


def _settled_panel(choices: Sequence[Choice], fixed: Fixed) -> tuple[int, State] | None:
    if len(choices) < fixed.answers:
        return None
    preferred = [choice.preferred for choice in choices[: fixed.answers]]
    most = max(preferred.count("A"), preferred.count("B"))
    return fixed.answers, "shown" if most >= fixed.needed else "undecided"


def _state(a: int, b: int, fixed: Fixed | None) -> State:
    if fixed is not None:
        return fixed_state(a, b, fixed.answers, fixed.needed)
    return "shown" if evidence_either(a, a + b) >= LINE else "open"


@lru_cache(maxsize=16)
def preference_lines(fixed: Fixed | None, most: int = HORIZON) -> Lines:
    """A's counts that show a preference for A (`shown`) and for B (`other way`)."""
    if fixed is None:
        needed = [_least(n) for n in range(1, most + 1)]
    else:
        needed = [min(fixed.needed, n + 1) for n in range(1, fixed.answers + 1)]
        if fixed.panel:  # read once all have answered
            needed = [*range(2, fixed.answers + 1), fixed.needed]
    trials = range(1, len(needed) + 1)
    for_b = Band("other way", (0,) * len(needed), tuple(map(sub, trials, needed)))
    bands = [Band("shown", tuple(needed), tuple(trials)), for_b]
    if fixed and not fixed.panel:  # neither can be reached any more
        left = [fixed.answers - n for n in trials]
        first = (fixed.answers - fixed.needed + 1,) * len(left)
        bands.append(Band("undecided", first, tuple(fixed.needed - 1 - more for more in left)))
    return Lines(tuple(bands))


def _least(n: int) -> int:
    """The least count of n for one cup that brings the evidence to its line, else n + 1."""
    counts = range(n // 2 + 1, n + 1)
    return next((count for count in counts if evidence_either(count, n) >= LINE), n + 1)


def preference_outlook(fixed: Fixed | None, p_d: float, most: int = HORIZON) -> Outlook:
    """How often a preference is shown when p_d of answers prefer one cup and the rest toss."""
    both = preference_lines(fixed, most)
    ways = outcomes(both, COIN + p_d * COIN)
    return Outlook(p_d, ways.shown[-1], 0.0, ways.mean_trials, ways.found_after, both.most)
