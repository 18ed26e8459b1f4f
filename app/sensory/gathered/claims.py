"""What a list of claims is worth: how many false ones to expect, and which stand over all of it."""

from collections.abc import Sequence
from dataclasses import dataclass

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
    """`false_shown` to expect at most where nothing differs, `false_close` where everything does
    by the size set beforehand; which claims stand, in their order, and how many stand for sure."""

    false_shown: float
    false_close: float
    stands: tuple[bool, ...]
    surely: int


def worth(looked_at: Sequence[LookedAt], evidence: Sequence[float]) -> Worth:
    """The worth of claims with these e-values, one for each thing that came to one.

    A thing either differs by that size or it does not, so only one of its two claims can be false:
    the number looked at is counted once.
    """
    adjusted = holm([min(1.0, 1 / e) if e else 1.0 for e in evidence], len(looked_at))
    return Worth(
        sum(one.error for one in looked_at),
        sum(CLOSE * one.can_be_close for one in looked_at),
        tuple(e_bh(evidence, len(looked_at))),
        sum(p <= ALPHA for p in adjusted),
    )


def chance(word: Lean, error: float) -> float:
    """How often luck alone ends one such test this way."""
    return error if word == "shown" else CLOSE
