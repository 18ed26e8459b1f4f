"""The numbers behind a blind test so far, each with the range that any stop leaves it."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.sensory.blind.discrimination import clopper_pearson, correct_share, least_share
from app.sensory.blind.evalue import (
    evidence,
    evidence_both,
    evidence_close,
    evidence_close_both,
    interval,
    trials_to_go,
)
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.methods import METHOD_FACTS, said
from app.sensory.blind.sequential import DEFAULT_P_D, Rule
from app.sensory.blind.sizes import d_prime_with_error, likelihood_interval, size_range
from app.sensory.terms import Discrimination

HALF, NEARLY_0 = 0.5, 1e-9
PATIENCE = 5  # trials before "at this rate" means anything


@dataclass(frozen=True)
class AllIn:
    """A fixed number of trials, all of them in: 95 % ranges of the share right, and d'.

    `d_prime` is None where it is 0 or infinite.
    """

    exact: tuple[float, float]
    likelihood: tuple[float, float]
    d_prime: float | None
    error: float | None


@dataclass(frozen=True)
class Counts:
    """`correct` of n, with 95 % ranges that hold at any stop.

    `low` to `high`: share right. `p_d`: trials in which the difference is perceived. `d_low` to
    `d_high`: distance in units of perceptual noise, over the rules a taster may follow (infinite
    where nothing bounds it). Both sizes are of a difference whichever way round where the method
    can come out so. `evidence` against guessing, `evidence_close` against the p_d that matters,
    or more, `to_go` trials more at this rate (None before the fifth trial).
    """

    correct: int
    n: int
    chance: float
    low: float
    high: float
    p_d_low: float
    p_d_high: float
    d_low: float
    d_high: float
    evidence: float
    evidence_close: float
    to_go: int | None
    all_in: AllIn | None = None


def read_counts(
    method: Discrimination,
    correct: int,
    n: int,
    matters: float = DEFAULT_P_D,
    rule: Rule | None = None,
    lost: int = 0,
) -> Counts:
    """Read `correct` of n trials; `matters` is the smallest p_d of interest, set beforehand.

    `lost` more of them may be right or wrong: the ranges and the evidence hold for both.
    """
    if not 0 <= correct <= correct + lost <= n:
        raise ValueError("right answers must lie between 0 and the number of trials")
    facts = METHOD_FACTS[method]
    guess, most = float(facts.guess), correct + lost
    low, high = interval(correct, n)[0], interval(most, n)[1]
    sizes = size_range(method, low, high)
    size = correct_share(matters, guess)
    if facts.both_ways:
        fewest = least_share(matters, guess)
        now = min(evidence_both(count, n, guess) for count in range(correct, most + 1))
        close = min(evidence_close_both(count, n, fewest, size) for count in (correct, most))
        to_go = trials_to_go(correct, n, guess, both_ways=True)
    else:
        now, close = evidence(correct, n, guess), evidence_close(most, n, size)
        to_go = trials_to_go(correct, n, guess)
    return Counts(
        correct, n, guess, low, high, *sizes, now, close,
        to_go if n >= PATIENCE else None,
        _all_in(method, correct, n, guess, rule) if not lost else None,
    )  # fmt: skip


def _all_in(
    method: Discrimination, correct: int, n: int, guess: float, rule: Rule | None
) -> AllIn | None:
    if not isinstance(rule, FixedNumber) or n != rule.trials:
        return None
    turned = rule.both_ways and guess == HALF and correct < n * HALF
    picked = n - correct if turned else correct
    # Where the answer is a word, d' takes hits and false alarms (see detection).
    found = None if said(method) else d_prime_with_error(method, picked, n)
    d_prime, error = found or (None, None)
    least = NEARLY_0 if rule.both_ways else guess
    exact, likelihood = clopper_pearson(correct, n), likelihood_interval(correct, n, least)
    return AllIn(exact, likelihood, d_prime, error)


@dataclass(frozen=True)
class Sureness:
    """Right and wrong answers given surely and unsurely."""

    sure_right: int
    sure_wrong: int
    unsure_right: int
    unsure_wrong: int

    @property
    def sentence(self) -> str:
        """The counts in words, with what a sure wrong answer means."""
        sure, unsure = self.sure_right + self.sure_wrong, self.unsure_right + self.unsure_wrong
        if sure + unsure == 0:
            return "No answer yet."
        text = f"Sure: {self.sure_right} of {sure} right. Unsure: {self.unsure_right} of {unsure}."
        if self.sure_wrong:
            text += " A sure answer can be wrong: feeling sure is no evidence of its own."
        return text


def read_sureness(answers: Iterable[tuple[bool, bool]]) -> Sureness:
    """Count (right, sure) answers."""
    every = [(right, sure) for right, sure in answers]
    return Sureness(
        every.count((True, True)),
        every.count((False, True)),
        every.count((True, False)),
        every.count((False, False)),
    )
