"""When a trend is read, and how far from chance it has to be then.

It is read at marks fixed beforehand and at the end, and at no other time, so that looking daily
costs nothing. The false alarms allowed in all, 1 in 20, are spent over the looks (Lan & DeMets
1983, Biometrika 70:659); the bounds follow by integrating over what stayed within the earlier ones
(Armitage, McPherson & Rowe 1969, J. R. Statist. Soc. A 132:235).
"""

from functools import lru_cache
from math import sqrt

from app.sensory.lazy import Floats, np, optimize, special

ALLOWED = 0.05
# Days with a value at which it is read, and what of ALLOWED is spent by then: our own choice. Most
# is left for the end, since a bag rarely lasts for forty days.
SPENT_BY = {10: 0.005, 20: 0.015, 40: 0.030, 80: 0.040, 160: 0.045}
_POINTS = 401
_FARTHEST = 8.0


@lru_cache(maxsize=4096)
def bounds(information: tuple[float, ...], spent: tuple[float, ...]) -> tuple[float, ...]:
    """What |z| has to exceed at each look, for a false alarm to have the chances `spent` so far.

    `information` grows from look to look, as the variance of the sum that z is made from; its
    unit does not matter.
    """
    found: list[float] = []
    density, at = np.ones(1), np.zeros(1)
    known = already = 0.0
    for now, allowed in zip(information, spent, strict=True):
        step = sqrt(now - known)
        bound = _bound(density, at, step, sqrt(now), allowed - already)
        found.append(bound)
        density, at = _within(density, at, step, bound * sqrt(now))
        known, already = now, allowed
    return tuple(found)


def _bound(density: Floats, at: Floats, step: float, deviation: float, chance: float) -> float:
    """The z that is exceeded with this `chance` by what was within all bounds before."""

    def too_often(z: float) -> float:
        out = special.ndtr((at - z * deviation) / step) + special.ndtr((-z * deviation - at) / step)
        return float(density @ out) - chance

    return float(optimize.brentq(too_often, 0.0, _FARTHEST))


def _within(density: Floats, at: Floats, step: float, end: float) -> tuple[Floats, Floats]:
    """The chances of each place within the bound, one `step` (a deviation) later."""
    places, width = np.linspace(-end, end, _POINTS, retstep=True)
    jumps = np.exp(-0.5 * ((places[:, None] - at) / step) ** 2) / (step * sqrt(2 * np.pi))
    weights = np.full(_POINTS, float(width))
    weights[[0, -1]] /= 2
    return (jumps @ density) * weights, places
