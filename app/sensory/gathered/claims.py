"""What a list of claims is worth: how many false ones to expect, and which stand over all of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from app.sensory.gathered.blind import Lean
from app.sensory.gathered.errors import CLOSE
from app.sensory.gathered.several import ALPHA, e_bh, holm


@dataclass(frozen=True)
class LookedAt:
    """One thing that could have come to a claim: how often it shows a difference by luck alone, and
    whether it can end close enough."""

    error: float
    can_be_close: bool


@dataclass(frozen=True)
class Worth:
    """False claims to expect at most (`false_shown` where nothing differs, `false_close` where
    everything does by the size set beforehand) and how many there may be with 95 % (`most_...`);
    which claims stand by themselves, in their order, and how many stand for sure."""

    false_shown: float
    false_close: float
    most_shown: int
    most_close: int
    stands: tuple[bool, ...]
    surely: int


def worth(looked_at: Sequence[LookedAt], families: int, evidence: Sequence[float]) -> Worth:
    """The worth of claims with these e-values, of tests looked at and of `families` of them.

    A thing either differs by that size or it does not, so only one of its two claims can be false:
    the number looked at is counted once.
    """
    every = len(looked_at) + families
    adjusted = holm([min(1.0, 1 / e) if e else 1.0 for e in evidence], every)
    shown = [one.error for one in looked_at]
    close = [CLOSE * one.can_be_close for one in looked_at]
    return Worth(
        sum(shown),
        sum(close),
        most_by_luck(shown),
        most_by_luck(close),
        tuple(e_bh(evidence, every)),
        sum(p <= ALPHA for p in adjusted),
    )


def most_by_luck(chances: Sequence[float], level: float = ALPHA) -> int:
    """The number that luck passes with a chance of at most `level`, each with a chance of its own
    and drawn by itself (Poisson's binomial distribution); with fewer that can be false, it is less.
    """
    counts = [1.0]
    for one in chances:
        counts = [
            have * (1 - one) + before * one
            for have, before in zip([*counts, 0.0], [0.0, *counts], strict=True)
        ]
    beyond = list(accumulate(reversed(counts)))[::-1]  # this many or more
    return next((n for n in range(len(chances)) if beyond[n + 1] <= level), len(chances))


def chance(word: Lean, error: float) -> float:
    """How often luck alone ends one such test this way."""
    return error if word == "shown" else CLOSE
