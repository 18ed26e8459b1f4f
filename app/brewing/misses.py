"""How far predictions missed what was measured, before and after learning."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from .cup import Ranged


@dataclass(frozen=True, slots=True)
class Misses:
    """Mean absolute misses in the unit measured, and the share of brews that a range held.

    ``plain`` and ``plain_inside`` are without what was learned; ``n`` brews are behind all four.
    """

    n: int
    plain: float
    learned: float
    plain_inside: float
    learned_inside: float


def misses(brews: Sequence[tuple[float, Ranged, Ranged]]) -> Misses:
    """Misses of brews given as (measured, predicted without learning, predicted with it).

    Raises ValueError when there are none.
    """
    if not brews:
        raise ValueError("Without a measured brew there is nothing to compare with.")
    plain = [(measured, guess) for measured, guess, _ in brews]
    learned = [(measured, guess) for measured, _, guess in brews]
    return Misses(len(brews), _mean(plain), _mean(learned), _inside(plain), _inside(learned))


def _mean(pairs: list[tuple[float, Ranged]]) -> float:
    return fsum(abs(measured - guess.value) for measured, guess in pairs) / len(pairs)


def _inside(pairs: list[tuple[float, Ranged]]) -> float:
    return sum(guess.low <= measured <= guess.high for measured, guess in pairs) / len(pairs)
