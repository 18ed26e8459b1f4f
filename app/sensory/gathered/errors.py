"""How often the rule of a blind test ends it wrongly: exact where it can be counted, else a bound.

Wrongly shown: guessing alone ends the test "shown". Wrongly close enough: a difference of the size
set beforehand ends it "close enough".
"""

from functools import lru_cache
from math import comb

from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.planning import outcomes
from app.sensory.blind.preference_rule import Fixed
from app.sensory.blind.sequential import EveryMorning, Rule

EVERY_MORNING = 0.04  # exact over 2,000 looks: at most .0385 for every chance of guessing
DEALT = 0.05  # panels, and tests read against their A-against-A trials: bounded, not counted
CLOSE = 0.10  # no rule ends wrongly close enough more often
STEPS = 600  # trials after which hardly a test step by step is open


@lru_cache(maxsize=256)
def false_alarm(rule: Rule) -> float:
    """The chance that guessing alone ends a test under this rule as shown, at most."""
    if isinstance(rule, EveryMorning):
        return EVERY_MORNING
    if isinstance(rule, FixedNumber):
        return DEALT if rule.panel else outcomes(rule.lines(rule.trials), rule.guess).shown[-1]
    return min(DEALT, 1 - outcomes(rule.lines(STEPS), rule.guess).ended[-1])


def false_preference(fixed: Fixed | None) -> float:
    """The chance that tossing a coin ends a preference as shown, for either cup, at most."""
    if fixed is None:
        return EVERY_MORNING
    if fixed.panel:
        return DEALT
    tail = sum(comb(fixed.answers, count) for count in range(fixed.needed, fixed.answers + 1))
    return float(2 * tail / 2**fixed.answers)
