"""How large a difference may be, from the share of right answers: ranges, never a bare share.

The share right of a test that stopped when its counts looked good is too high: of triangles at
d' 1, where a difference is perceived in 13 % of trials, those that show one have 51 % perceived.
So a test is given a range that holds at any stop, and d' with its error only where the number of
trials was fixed beforehand and all of them are in.
"""

from collections.abc import Callable
from math import inf, sqrt
from typing import NamedTuple

from app.sensory.blind.discrimination import (
    LARGEST_D_PRIME,
    correct_at,
    d_prime_at,
    d_prime_range,
    perceived_share,
)
from app.sensory.blind.methods import METHOD_FACTS
from app.sensory.lazy import optimize, special
from app.sensory.terms import Discrimination

STEP = 1e-5
LEAST = 1e-9  # a share right this small is none
DROP = 3.841458820694124 / 2  # of the log-likelihood: half of chi-squared's 95 % point


class Sizes(NamedTuple):
    """The least and greatest share of trials in which it is perceived, and d'; inf if unbounded."""

    p_d_low: float
    p_d_high: float
    d_low: float
    d_high: float


def size_range(method: Discrimination, low: float, high: float) -> Sizes:
    """Sizes for shares right from low to high: in some methods whichever way round."""
    guess = float(METHOD_FACTS[method].guess)
    apart = d_prime_range(method, low, high)
    named = Sizes(perceived_share(low, guess), perceived_share(high, guess), *apart)
    if not METHOD_FACTS[method].both_ways:
        return named
    other = Sizes(
        max(0.0, (guess - high) / guess),
        max(0.0, (guess - low) / guess),
        d_prime_other_way(method, high),
        d_prime_other_way(method, low),
    )
    return Sizes(*map(max, named, other))


def d_prime_other_way(method: Discrimination, p_c: float) -> float:
    """The distance d' at which p_c answers are right where the other cup has more."""
    if p_c >= METHOD_FACTS[method].guess:
        return 0.0
    if p_c <= LEAST:
        return inf
    ends = (0.0, LARGEST_D_PRIME)
    return float(optimize.brentq(lambda d: _right_other_way(method, d) - p_c, *ends, xtol=1e-12))


def _right_other_way(method: Discrimination, d_prime: float) -> float:
    """The psychometric functions of these methods below 0, where they hold as well."""
    if method == "A-not-A":
        return float(special.ndtr(-d_prime / 2))
    below = float(special.ndtr(-d_prime / sqrt(2)))
    if method == "paired":
        return below
    return below - 2 * float(special.owens_t(d_prime / sqrt(2), 1 / sqrt(3)))


def slope_at(method: Discrimination, d_prime: float) -> float:
    """How fast the share right grows with d'."""
    rise = correct_at(method, d_prime + STEP) - correct_at(method, d_prime - STEP)
    return rise / (2 * STEP)


def d_prime_with_error(method: Discrimination, correct: int, n: int) -> tuple[float, float] | None:
    """d' and its standard error, √(p(1 − p)/n) over the slope (delta method, as in sensR).

    For a number of trials fixed beforehand. None where it is 0 or infinite, and has no error.
    """
    d_prime = d_prime_at(method, correct / n)
    if not STEP < d_prime < LARGEST_D_PRIME:
        return None
    share = correct / n
    return d_prime, sqrt(share * (1 - share) / n) / slope_at(method, d_prime)


def likelihood_interval(correct: int, n: int, guess: float) -> tuple[float, float]:
    """Shares right, from guessing to 1, whose likelihood is not too far below the greatest.

    95 % for a number of trials fixed beforehand, and much less sensitive to how a test stopped
    than Clopper–Pearson, since the likelihood does not depend on it.
    """
    share = max(correct / n, guess)

    def drop(p: float) -> float:
        terms = special.xlogy(correct, p) + special.xlog1py(n - correct, -p)
        return float(best - terms) - DROP

    best = float(special.xlogy(correct, share) + special.xlog1py(n - correct, -share))
    low = guess if share <= guess or drop(guess) <= 0 else _root(drop, guess, share)
    edge = 1 - 1e-12
    high = 1.0 if share >= edge or drop(edge) <= 0 else _root(drop, share, edge)
    return low, high


def _root(drop: Callable[[float], float], low: float, high: float) -> float:
    return float(optimize.brentq(drop, low, high, xtol=1e-12))
