"""Which of two cups is preferred: two-sided evidence, ties, and the pull of the first cup.

Null: each cup is preferred half of the time. Ties are set aside and shown; they carry no
weight for either cup (ISO 5495 forces a choice, from memory; a journal need not).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import comb, exp, lgamma, log

from app.sensory.blind.evalue import LARGEST, SHOWN_AT, interval
from app.sensory.blind.methods import SCOPES
from app.sensory.terms import Claim, Letter, State

COIN = 0.5
LINE = SHOWN_AT * (1 - 1e-9)


@dataclass(frozen=True)
class Choice:
    """One answer: the cup preferred (None for a tie) and the cup tasted first."""

    preferred: Letter | None
    first: Letter


@dataclass(frozen=True)
class Preference:
    """Counts for A and B, ties, evidence that it is not a coin, and the range of A's share.

    `first_preferred` counts answers for the cup tasted first, whichever it was; `first_low` and
    `first_high` bound that share. Both ranges stay 95 % however often one looks.
    """

    a: int
    b: int
    ties: int
    evidence: float
    low: float
    high: float
    first_preferred: int
    first_low: float
    first_high: float
    sentence: str
    cautions: tuple[str, ...]

    @property
    def shown(self) -> bool:
        """Whether the evidence has reached the line."""
        return self.evidence >= SHOWN_AT * (1 - 1e-9)


def read_choices(choices: Iterable[Choice], claim: Claim = "these cups") -> Preference:
    """What the answers so far support."""
    every = list(choices)
    plain = [choice for choice in every if choice.preferred is not None]
    a = sum(choice.preferred == "A" for choice in plain)
    n, ties = len(plain), len(every) - len(plain)
    first = sum(choice.preferred == choice.first for choice in plain)
    low, high = interval(a, n)
    first_low, first_high = interval(first, n)
    e = evidence_either(a, n)
    sentence = _sentence(a, n - a, ties, e, claim)
    notes = _cautions(n, ties, first, first_low, first_high)
    return Preference(a, n - a, ties, e, low, high, first, first_low, first_high, sentence, notes)


def evidence_either(count: int, n: int) -> float:
    """Two-sided e-value against a coin, 2^n B(1 + s, 1 + n - s), at most 1e9."""
    log_beta = lgamma(1 + count) + lgamma(1 + n - count) - lgamma(2 + n)
    return exp(min(n * log(2) + log_beta, log(LARGEST)))


def least_majority(n: int, alpha: float = 0.05) -> int | None:
    """Smallest count of n fixed beforehand, of either cup, with a two-sided exact p up to alpha."""
    tail, least = 0, None
    for count in range(n, n // 2, -1):
        tail += comb(n, count)
        if 2 * tail > alpha * 2**n:
            break
        least = count
    return least


def fixed_state(a: int, b: int, planned: int, needed: int) -> State:
    """Where a preference with `planned` answers (ties set aside) stands; it ends once certain."""
    left = planned - a - b
    if left < 0:
        raise ValueError("more answers than were planned")
    if max(a, b) >= needed:
        return "shown"
    return "open" if max(a, b) + left >= needed else "undecided"


def _sentence(a: int, b: int, ties: int, e: float, claim: Claim) -> str:
    if a + b == 0:
        return "No preference given yet: nothing is known."
    counts = counted(a, b, ties)
    figure = f"{e:.3g}" if e < 1000 else "over 1000"
    if e < LINE:
        return (
            f"{counts}: open, since the evidence for a preference is {figure} and the line is at "
            "20. Neither is shown to be preferred, nor that they are liked the same."
        )
    cup = "A" if a > b else "B"
    return (
        f"{counts}: a preference for {cup} is shown, since tossing a coin would ever bring the "
        f"evidence ({figure} now) to 20 in at most 1 test in 20. It says nothing about how much "
        f"better, or why. {SCOPES[claim]}"
    )


def counted(a: int, b: int, ties: int) -> str:
    """The counts in words."""
    of_a, of_b = ({0: "never", 1: "once", 2: "twice"}.get(n, f"{n} times") for n in (a, b))
    tied = f", {ties} without a preference" if ties else ""
    return f"A preferred {of_a}, B {of_b}{tied}"


def _cautions(n: int, ties: int, first: int, low: float, high: float) -> tuple[str, ...]:
    cautions = []
    if low > COIN or high < COIN:
        place = "first" if low > COIN else "second"
        cautions.append(
            f"The cup tasted {place} was preferred {max(first, n - first)} of {n} times: place "
            "has an effect here, so the order must stay drawn afresh for every trial."
        )
    if ties > n:
        cautions.append("Most answers were ties: the preference, if any, is rarely felt.")
    return tuple(cautions)
