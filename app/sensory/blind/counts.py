"""The numbers behind a blind test so far, each with the range that looking daily leaves it."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.sensory.blind.discrimination import correct_share, d_prime_range, perceived_share
from app.sensory.blind.evalue import evidence, evidence_close, interval, trials_to_go
from app.sensory.blind.methods import METHOD_FACTS
from app.sensory.blind.sequential import DEFAULT_P_D
from app.sensory.terms import Discrimination


@dataclass(frozen=True)
class Counts:
    """`correct` of n, with 95 % ranges that hold at every look.

    `share` and its range: right answers (None before the first). `p_d`: trials in which the
    difference was perceived. `d_low` to `d_high`: distance in units of perceptual noise, over
    the rules a taster may follow (infinite where nothing bounds it). `evidence` against guessing,
    `evidence_close` against the p_d that matters, or more, `to_go` trials more at this rate.
    """

    correct: int
    n: int
    chance: float
    share: float | None
    low: float
    high: float
    p_d: float | None
    p_d_low: float
    p_d_high: float
    d_low: float
    d_high: float
    evidence: float
    evidence_close: float
    to_go: int | None


def read_counts(
    method: Discrimination, correct: int, n: int, matters: float = DEFAULT_P_D
) -> Counts:
    """Read `correct` of n trials; `matters` is the smallest p_d of interest, set beforehand."""
    if not 0 <= correct <= n:
        raise ValueError("right answers must lie between 0 and the number of trials")
    guess = float(METHOD_FACTS[method].guess)
    low, high = interval(correct, n)
    d_low, d_high = d_prime_range(method, low, high)
    return Counts(
        correct=correct,
        n=n,
        chance=guess,
        share=correct / n if n else None,
        low=low,
        high=high,
        p_d=perceived_share(correct / n, guess) if n else None,
        p_d_low=perceived_share(low, guess),
        p_d_high=perceived_share(high, guess),
        d_low=d_low,
        d_high=d_high,
        evidence=evidence(correct, n, guess),
        evidence_close=evidence_close(correct, n, correct_share(matters, guess)),
        to_go=trials_to_go(correct, n, guess),
    )


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
