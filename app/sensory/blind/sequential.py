"""Rules for stopping a blind test, each chosen beforehand, each a set of lines to cross.

Look every morning: e-values. A fixed number: exact binomial counts (fixed.py). Step by step: two
lines, or four (steps.py).

Where a direction was named (`both_ways`), every rule looks both ways: who brews at home is often
wrong about which cup has more, and a test that looks one way only calls a plain difference close
enough. A difference the other way round is shown with the same bound on false alarms; close enough
has to rule out both.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log

from app.sensory import ROUNDING
from app.sensory.blind.discrimination import correct_share, least_share
from app.sensory.blind.evalue import (
    CLOSE_AT,
    KEPT,
    SHOWN_AT,
    log_evidence,
    log_evidence_close,
    log_evidence_close_both,
    log_evidence_either,
)
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.lines import Lines, four_lines, least_count, plain, two_lines
from app.sensory.blind.steps import StepByStep
from app.sensory.lazy import ArrayLike, Bools, np
from app.sensory.terms import State

STEP_BY_STEP_P_D = (0.2, 0.3, 0.4, 0.5)
DEFAULT_P_D = 0.40
SHOWN_LINE, CLOSE_LINE = log(SHOWN_AT) - ROUNDING, log(CLOSE_AT) - ROUNDING


@dataclass(frozen=True)
class EveryMorning:
    """Look as often as you like: shown at evidence 20, close enough at 10 against p_d."""

    guess: float
    p_d: float = DEFAULT_P_D
    both_ways: bool = False

    @property
    def p1(self) -> float:
        """Share right where a difference of the size that matters is perceived."""
        return correct_share(self.p_d, self.guess)

    @property
    def p1_other_way(self) -> float:
        """Share right where it is perceived the other way round."""
        return least_share(self.p_d, self.guess)

    def is_shown(self, correct: ArrayLike, n: ArrayLike) -> Bools:
        """Whether the evidence against guessing has reached its line, either way."""
        bet = log_evidence_either if self.both_ways else log_evidence
        return np.asarray(bet(correct, n, self.guess) >= SHOWN_LINE)

    def state(self, correct: int, n: int) -> State:
        """Where the record stands; shown comes first where both lines are crossed."""
        if self.is_shown(correct, n):
            return "shown"
        if self.both_ways:
            close = log_evidence_close_both(correct, n, self.p1_other_way, self.p1)
        else:
            close = log_evidence_close(correct, n, self.p1)
        return "close enough" if close >= CLOSE_LINE else "open"

    def lines(self, most: int) -> Lines:
        return _every_morning_lines(self, most)


Rule = EveryMorning | FixedNumber | StepByStep


@lru_cache(maxsize=64)
def _every_morning_lines(rule: EveryMorning, most: int) -> Lines:
    n = np.arange(1, most + 1)
    more = rule.guess * n
    shown = least_count(lambda s: (s >= more) & rule.is_shown(s, n), n)
    not_close = least_count(lambda s: log_evidence_close(s, n, rule.p1) < CLOSE_LINE, n)
    if not rule.both_ways:
        return two_lines(plain(shown), plain(not_close - 1))
    fewest = least_count(lambda s: (s >= more) | ~rule.is_shown(s, n), n)
    least = least_count(lambda s: log_evidence(s, n, rule.p1_other_way) >= CLOSE_LINE, n)
    return four_lines(plain(shown), plain(fewest - 1), plain(least), plain(not_close - 1))


def settled(rule: Rule, answers: Sequence[bool | None]) -> tuple[int, State] | None:
    """The trial at which the rule first ended the test, and how; None while it is open.

    None among the answers is one whose mark was lost. What is shown once stays shown: later trials
    cannot take the first crossing back.
    """
    correct = lost = 0
    for n, right in enumerate(answers, 1):
        correct, lost = correct + bool(right), lost + (right is None)
        if (state := reached(rule, correct, n, lost)) != "open":
            return n, state
    return None


@lru_cache(KEPT)
def reached(rule: Rule, correct: int, n: int, lost: int = 0) -> State:
    """The state of `correct` of n where `lost` more may be right or wrong: both have to give it."""
    low, high = rule.state(correct, n), rule.state(correct + lost, n)
    level = rule.guess * n
    one_way = low != "shown" or (correct < level) == (correct + lost < level)
    if low == high and one_way:
        return low
    return "undecided" if isinstance(rule, FixedNumber) and n == rule.trials else "open"
