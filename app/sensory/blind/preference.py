"""Which of two cups is preferred: two-sided evidence, ties, and the pull of the first cup.

Null: each cup is preferred half of the time. Ties are set aside and shown; they carry no
weight for either cup (ISO 5495 forces a choice, from memory; a journal need not).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import comb, exp, lgamma, log

from app.sensory.blind.control import fisher_p
from app.sensory.blind.evalue import LARGEST, SHOWN_AT, interval
from app.sensory.terms import Letter, State

COIN = 0.5
LINE = SHOWN_AT * (1 - 1e-9)
PLACE_LEVEL, ALWAYS = 0.05, 3


@dataclass(frozen=True)
class Choice:
    """One answer: the cup preferred (None for a tie), the cup tasted first, and whose it is."""

    preferred: Letter | None
    first: Letter
    taster: str = ""


@dataclass(frozen=True)
class Own:
    """One person's own counts."""

    taster: str
    a: int
    b: int
    ties: int


@dataclass(frozen=True)
class Preference:
    """Counts for A and B, ties, evidence that it is not a coin, and the range of A's share.

    `first_preferred` counts answers for the cup tasted first, whichever it was; `first_low` and
    `first_high` bound that share. Both ranges stay 95 % however often one looks. `each` are the
    counts of every taster alone.
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
    each: tuple[Own, ...]
    cautions: tuple[str, ...]

    @property
    def shown(self) -> bool:
        """Whether the evidence has reached the line."""
        return self.evidence >= LINE

    @property
    def leading(self) -> Letter:
        return "A" if self.a > self.b else "B"


def read_choices(choices: Iterable[Choice]) -> Preference:
    """What the answers so far support."""
    every = list(choices)
    plain = [choice for choice in every if choice.preferred is not None]
    a = sum(choice.preferred == "A" for choice in plain)
    n, ties = len(plain), len(every) - len(plain)
    first = sum(choice.preferred == choice.first for choice in plain)
    low, high = interval(a, n)
    first_low, first_high = interval(first, n)
    notes = _of_place(plain, first_low, first_high)
    if ties > n:
        notes += ("Most answers were ties: the preference, if any, is rarely felt.",)
    e, each = evidence_either(a, n), _each(every)
    return Preference(a, n - a, ties, e, low, high, first, first_low, first_high, each, notes)


def _each(choices: Sequence[Choice]) -> tuple[Own, ...]:
    own = []
    for taster in dict.fromkeys(choice.taster for choice in choices):
        mine = [choice.preferred for choice in choices if choice.taster == taster]
        own.append(Own(taster, mine.count("A"), mine.count("B"), mine.count(None)))
    return tuple(own)


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


def _of_place(plain: Sequence[Choice], low: float, high: float) -> tuple[str, ...]:
    """Whether the place pulls: only where both cups stood first can that be told from a liking.

    The share of answers for the cup tasted first has to be off one half, and A has to be preferred
    more often where it stood first than where B did (Fisher's exact test, both ways).
    """
    of_a, of_b = (
        [choice.preferred == "A" for choice in plain if choice.first == cup] for cup in ("A", "B")
    )
    if len(plain) >= ALWAYS and not (of_a and of_b):
        cup = "A" if of_a else "B"
        return (
            f"{cup} stood first every time: a pull of the first cup would look the same as a "
            "preference.",
        )
    counts = (sum(of_a), len(of_a), sum(of_b), len(of_b))
    pulls, repels = fisher_p(*counts), fisher_p(*counts[2:], *counts[:2])
    if low <= COIN <= high or 2 * min(pulls, repels) > PLACE_LEVEL:
        return ()
    place, n = "first" if low > COIN else "second", len(plain)
    first = sum(choice.preferred == choice.first for choice in plain)
    return (
        f"The cup tasted {place} was preferred {max(first, n - first)} of {n} times: place "
        "has an effect here, so the order must stay drawn afresh for every trial.",
    )
