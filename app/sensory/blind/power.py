"""How many trials a fixed number takes: to find a difference, and to end close enough without one.

Power climbs in teeth: where n trials first reach it, n + 1 may fall a little short again. So two
numbers are given, the first that reaches it and the one from which on every number does.
"""

from typing import NamedTuple

from app.sensory.blind.discrimination import correct_share, least_share
from app.sensory.blind.fixed import ALPHA, BETA
from app.sensory.blind.lines import least_count
from app.sensory.lazy import Bools, Floats, Integers, np, special

MOST = 1000
MISSED = 0.20


class Needed(NamedTuple):
    """The first number of trials that reaches a power, and the one from which all do."""

    first: int
    stable: int


def to_find(
    guess: float,
    p_d: float,
    *,
    both_ways: bool = False,
    alpha: float = ALPHA,
    missed: float = MISSED,
    most: int = MOST,
) -> Needed | None:
    """Trials that find a difference perceived in p_d of them with a chance of 1 - missed, or more.

    ISO 4120 and its kind. None if `most` are too few.
    """
    n = np.arange(1, most + 1)
    needed = _needed(n, guess, alpha / 2 if both_ways else alpha)
    return _numbers(_at_least(needed, n, correct_share(p_d, guess)) >= 1 - missed)


def to_call_close(
    guess: float,
    p_d: float,
    *,
    both_ways: bool = False,
    alpha: float = ALPHA,
    beta: float = BETA,
    missed: float = MISSED,
    most: int = MOST,
) -> Needed | None:
    """Trials that, without a difference, end close enough with a chance of 1 - missed, or more.

    `beta` is the chance that a difference perceived in p_d of them ends so. None as above.
    """
    n = np.arange(1, most + 1)
    level = alpha / 2 if both_ways else alpha
    most_close = np.minimum(
        _similar(n, correct_share(p_d, guess), beta), _needed(n, guess, level) - 1
    )
    found = special.bdtr(most_close, n, guess) * (most_close >= 0)
    if both_ways:
        wrong = np.minimum(
            _similar(n, 1 - least_share(p_d, guess), beta), _needed(n, 1 - guess, level) - 1
        )
        fewest = n - wrong  # right answers, so that not too many are wrong
        found = np.where(fewest <= most_close, found - _below(fewest, n, guess), 0.0)
    return _numbers(found >= 1 - missed)


def _needed(n: Integers, guess: float, alpha: float) -> Integers:
    """The least count of each n that guessing reaches with a chance of at most alpha."""
    return least_count(lambda s: _at_least(s, n, guess) <= alpha, n)


def _similar(n: Integers, share: float, beta: float) -> Integers:
    """The greatest count of each n that `share` stays at or below with a chance of at most beta."""
    return least_count(lambda s: special.bdtr(s, n, share) > beta, n) - 1


def _at_least(counts: Integers, n: Integers, share: float) -> Floats:
    chance = np.where(counts > 0, special.bdtrc(np.maximum(counts - 1, 0), n, share), 1.0)
    return np.asarray(np.where(counts > n, 0.0, chance))


def _below(counts: Integers, n: Integers, share: float) -> Floats:
    return np.asarray(np.where(counts > 0, special.bdtr(np.maximum(counts - 1, 0), n, share), 0.0))


def _numbers(reached: Bools) -> Needed | None:
    if not reached[-1]:
        return None
    short = np.flatnonzero(~reached)
    return Needed(int(np.argmax(reached)) + 1, int(short[-1]) + 2 if short.size else 1)
