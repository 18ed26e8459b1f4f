"""How fast a steep goes: the share of its final strength reached after so many seconds.

Model and constants: Moroney et al. 2016, Journal of Mathematics in Industry 7:3,
doi 10.1186/s13362-016-0024-6, two grinds in stirred water at 90 degC. With h the strength of the
water, v that inside the grains and s the coffee left on grain surfaces, time in units of t_d:

    e h' = -e b2 h s + (b2/b1) s - e^2 b1 h + e v;  v' = e b1 h - v;  e s' = e b1 h s - s

starting at h = 0, v = g, s = 1. Adding the three shows h + v + (b2/b1) s to be constant, so v
drops out. Once s is gone what is left is linear and has an exact solution.

The grinds between the two published ones are our own linear interpolation: an aid for reading a
journal, not a measurement. A coarse steep without stirring may need 20 minutes (Liang 2021).
"""

from bisect import bisect_left
from functools import lru_cache
from math import exp

from app.brewing.bounds import GRINDS, STEEP_S, require

# e, b1, b2, g, t_d in seconds; Sauter mean size about 322 and 569 micrometres.
PUBLISHED = {
    "fine": (0.028, 5.239, 2.897, 0.70, 42.231),
    "coarse": (0.071, 1.99, 1.35, 0.50, 270.493),
}
_STEPS = 480  # to the time when s has fallen below 1e-10, in steps of e/16
_STEPS_PER_E = 16
LONGEST_S = 3600.0
_POINTS = 1200


def fraction(grind: str, steep_s: float) -> float:
    """Share (0 to 1) of the final strength reached after ``steep_s`` seconds at this grind.

    A grind that is not noted, "", is taken as medium. Raises ValueError for an unknown grind or a
    time outside ``bounds.STEEP_S``.

    >>> round(fraction("medium", 100.0), 2)
    0.87
    """
    share = _share_coarse(grind)
    require("Steep time", steep_s, STEEP_S, "s")
    return _mixed(share, steep_s)


def fraction_range(grind: str, steep_s: float) -> tuple[float, float]:
    """The same share one grind coarser and one finer: (low, high), extrapolated past the ends; from
    coarse to fine where the grind is not noted."""
    share = _share_coarse(grind)
    require("Steep time", steep_s, STEEP_S, "s")
    step = 1.0 / (len(GRINDS) - 1) if grind else 0.5
    low, high = _mixed(share + step, steep_s), _mixed(share - step, steep_s)
    return max(0.0, min(low, high)), min(1.0, max(low, high))


def seconds_to(grind: str, share: float) -> float | None:
    """Shortest steep (s) that reaches ``share`` of the final strength; None if not in an hour.

    Within 0.05 s of ``fraction``. Raises ValueError for an unknown grind.
    """
    curve = _curve(_share_coarse(grind))
    place = bisect_left(curve, share)
    if place == len(curve):
        return None
    if place == 0:
        return 0.0
    before, after = curve[place - 1], curve[place]
    since_s, until_s = _point_s(place - 1), _point_s(place)
    return since_s + (until_s - since_s) * (share - before) / (after - before)


@lru_cache
def _curve(share_coarse: float) -> tuple[float, ...]:
    return tuple(_mixed(share_coarse, _point_s(place)) for place in range(_POINTS + 1))


def _point_s(place: int) -> float:
    """Time (s) of a point of the curve; they are dense at its start, where it is steep."""
    return LONGEST_S * (place / _POINTS) ** 2


@lru_cache(maxsize=16384)
def _mixed(share_coarse: float, steep_s: float) -> float:
    fine, coarse = published_fraction("fine", steep_s), published_fraction("coarse", steep_s)
    return fine + share_coarse * (coarse - fine)


def _share_coarse(grind: str) -> float:
    if not grind:
        return 0.5
    if grind not in GRINDS:
        raise ValueError(f"Grind must be one of: {', '.join(GRINDS)}.")
    return GRINDS.index(grind) / (len(GRINDS) - 1)


def published_fraction(grind: str, steep_s: float) -> float:
    """The same share for one of the two published grinds, by solving the equations."""
    e, b1, b2, g, t_d = PUBLISHED[grind]
    final = (g + b2 / b1) / (1.0 + e * b1)
    grid = _grid(grind)
    time, step = steep_s / t_d, e / _STEPS_PER_E
    if time >= step * _STEPS:
        rest = grid[-1][0] - final
        return 1.0 + rest * exp(-(1.0 + e * b1) * (time - step * _STEPS)) / final
    place = int(time / step)
    return _advance(grid[place], time - place * step, (e, b1, b2, g))[0] / final


@lru_cache
def _grid(grind: str) -> tuple[tuple[float, float], ...]:
    """(h, s) at every step until s is gone."""
    e, b1, b2, g, _ = PUBLISHED[grind]
    states = [(0.0, 1.0)]
    for _ in range(_STEPS):
        states.append(_advance(states[-1], e / _STEPS_PER_E, (e, b1, b2, g)))
    return tuple(states)


def _slope(h: float, s: float, e: float, b1: float, b2: float, g: float) -> tuple[float, float]:
    leaving = s * (1.0 - e * b1 * h) / e
    v = g + b2 / b1 * (1.0 - s) - h
    return v - e * b1 * h + b2 / b1 * leaving, -leaving


def _advance(
    state: tuple[float, float], step: float, grind: tuple[float, float, float, float]
) -> tuple[float, float]:
    """One classical Runge-Kutta step of fourth order."""
    h, s = state
    h1, s1 = _slope(h, s, *grind)
    h2, s2 = _slope(h + step / 2 * h1, s + step / 2 * s1, *grind)
    h3, s3 = _slope(h + step / 2 * h2, s + step / 2 * s2, *grind)
    h4, s4 = _slope(h + step * h3, s + step * s3, *grind)
    return (h + step / 6 * (h1 + 2 * h2 + 2 * h3 + h4), s + step / 6 * (s1 + 2 * s2 + 2 * s3 + s4))
