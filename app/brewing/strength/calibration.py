"""Learning from the user's own measured brews: the extraction they get, and how sure that is.

Each measured brew gives the logarithm of measured over modelled extraction. It is taken as the sum
of the brew's doubts (see ``doubt``), each an unknown number with the SD stated there, and of the
chance of one brew. Learning is the normal posterior of these unknowns, brew by brew (a Kalman
filter without motion): a doubt that no brew has shares its unknown with nothing learned and keeps
its whole width. Brews far from the others count less or nothing (see ``robust``). The model is our
own choice.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import fsum, hypot, isfinite, log, sqrt
from typing import NamedTuple

from app.brewing.strength.cup import Cup
from app.brewing.strength.doubt import Doubt, Place, doubts
from app.brewing.strength.robust import NORMAL_95, PRIOR_WORTH, conflict, t_95, weights

BREW_SD, BREW_WORTH, BREW_FLOOR = 0.08, 3.0, 0.03  # of log extraction from brew to brew
LEAST_APART = 0.04  # SD below which no brew is far from the others
ENOUGH_ALIKE = 3  # measured brews in a place, from which on it is known where the model is not
_PASSES = 4
_COUNTS = 0.05  # the least weight of a brew that teaches


class Taught(NamedTuple):
    """One measured brew: log of measured over modelled extraction, and what is in doubt of it."""

    log_ratio: float
    doubts: tuple[Doubt, ...]


class Spread(NamedTuple):
    """Log of the factor to expect, and how far (95 %) it may lie below and above."""

    middle: float
    down: float
    up: float


@dataclass(frozen=True, eq=False, repr=False)
class Calibration:
    """What ``n`` measured brews have taught of the unknowns, each of which has SD 1 before.

    ``mean`` and ``cov`` go by the ``places`` of the unknowns. ``brew_sd`` is the SD of one brew,
    ``wider`` the factor of ``robust.conflict``, ``counted`` how many brews lie in a place, and
    ``counts`` how much each brew counts, 0 for not at all; ``latest`` are the doubts of the first
    of them that does.
    """

    n: int = 0
    brew_sd: float = BREW_SD
    wider: float = 1.0
    counts: tuple[float, ...] = ()
    places: Mapping[Place, int] = field(default_factory=dict)
    mean: Sequence[float] = ()
    cov: Sequence[Sequence[float]] = ()
    counted: Mapping[Place, float] = field(default_factory=dict)
    latest: tuple[Doubt, ...] = ()

    def foretell(self, of: Sequence[Doubt]) -> Spread:
        """The next brew with these doubts."""
        if not self.n:
            down, up = hypot(BREW_SD, *(d.down for d in of)), hypot(BREW_SD, *(d.up for d in of))
            return Spread(0.0, NORMAL_95 * down, NORMAL_95 * up)
        far = self.wider * t_95(PRIOR_WORTH + self.n)
        down = far * sqrt(self.variance([(one, one.down) for one in of]) + self.brew_sd**2)
        up = far * sqrt(self.variance([(one, one.up) for one in of]) + self.brew_sd**2)
        return Spread(self.middle(of), down, up)

    def middle(self, of: Sequence[Doubt]) -> float:
        """Log of the factor to expect of a brew with these doubts."""
        total = 0.0
        for one in of:
            drawn = sum(share * self._mean_at(place) for place, share in one.places)
            total += drawn * (one.down if drawn < 0.0 else one.up)
        return total

    def knows(self, doubt: Doubt) -> bool:
        """Whether enough measured brews were in this very doubt."""
        alike = fsum(share**2 * self.counted.get(place, 0.0) for place, share in doubt.places)
        return alike >= ENOUGH_ALIKE

    def _mean_at(self, place: Place) -> float:
        at = self.places.get(place)
        return 0.0 if at is None else self.mean[at]

    def variance(self, of: Sequence[tuple[Doubt, float]]) -> float:
        """What is still unknown of doubts, each with its SD: variance of log extraction.

        Unknowns that nothing was learned of are independent, with variance 1.
        """
        terms = [
            (self.places.get(place), share * sd) for one, sd in of for place, share in one.places
        ]
        unlearned = fsum(a * a for at, a in terms if at is None)
        known = [(at, a) for at, a in terms if at is not None]
        return max(
            0.0, unlearned + fsum(a * b * self.cov[p][q] for p, a in known for q, b in known)
        )


UNTAUGHT = Calibration()


def taught(cup: Cup, ratio: float) -> Taught:
    """A brew measured at ``ratio`` times its modelled extraction; ValueError for no such ratio."""
    if not (isfinite(ratio) and ratio > 0.0):
        raise ValueError("Every ratio of measured to estimated must be a number above zero.")
    return Taught(log(ratio), doubts(cup))


def learn(brews: Sequence[Taught]) -> Calibration:
    """What measured brews teach of the next one.

    >>> learn([]).n
    0
    >>> pot = Cup("immersion", 17.5, 305.0, water_temp_c=91.0, steep_s=205, stirs=4)
    >>> kept = learn([taught(pot, ratio) for ratio in (1.08, 1.05, 1.11)])
    >>> round(kept.foretell(doubts(pot)).middle, 2)
    0.06
    """
    if not brews:
        return UNTAUGHT
    counts, brew_sd = [1.0] * len(brews), BREW_SD
    for _ in range(_PASSES):
        found = _filtered(brews, counts, brew_sd)
        misses = [one.log_ratio - found.middle(one.doubts) for one in brews]
        counts = weights(misses, LEAST_APART)
        sum_ = fsum(counts)
        mean = fsum(count * miss for count, miss in zip(counts, misses, strict=True)) / sum_
        squares = fsum(c * (miss - mean) ** 2 for c, miss in zip(counts, misses, strict=True))
        sure = BREW_WORTH + max(0.0, sum_ - 1.0)
        brew_sd = max(BREW_FLOOR, sqrt((BREW_WORTH * BREW_SD**2 + squares) / sure))
    return _filtered(brews, counts, brew_sd)


def _filtered(brews: Sequence[Taught], counts: Sequence[float], brew_sd: float) -> Calibration:
    """The posterior, taking in one brew after another that counts."""
    kept = tuple(count if count >= _COUNTS else 0.0 for count in counts)
    places: dict[Place, int] = {}
    seen = [
        (*_observed(brew, places), count) for brew, count in zip(brews, kept, strict=True) if count
    ]
    size = len(places)
    mean = [0.0] * size
    cov = [[float(p == q) for q in range(size)] for p in range(size)]
    squares, counted = 0.0, [0.0] * size
    for log_ratio, terms, aside, count in seen:
        shared = [0.0] * size
        for at, sd, _ in terms:
            shared = [old + sd * other for old, other in zip(shared, cov[at], strict=True)]
        variance = fsum(sd * shared[at] for at, sd, _ in terms) + aside + brew_sd**2 / count
        miss = log_ratio - fsum(sd * mean[at] for at, sd, _ in terms)
        squares += count * miss**2 / variance
        for at in [at for at, one in enumerate(shared) if one]:  # the brew says nothing of others
            gain = shared[at] / variance
            mean[at] += gain * miss
            cov[at] = [old - gain * other for old, other in zip(cov[at], shared, strict=True)]
        for at, _, share in terms:
            counted[at] += share**2
    wider = conflict(squares, fsum(kept))
    by_place = dict(zip(places, counted, strict=True))
    latest = next((one.doubts for one, count in zip(brews, kept, strict=True) if count), ())
    return Calibration(len(seen), brew_sd, wider, kept, places, mean, cov, by_place, latest)


def _observed(
    brew: Taught, places: dict[Place, int]
) -> tuple[float, list[tuple[int, float, float]], float]:
    """Log ratio, (place, SD, share) of what the brew teaches, and the variance of the rest of it.

    ``places`` grows by those that are new.
    """
    sds = [one.down if brew.log_ratio < 0.0 else one.up for one in brew.doubts]
    outside = any(one.alone for one in brew.doubts)
    terms, aside = [], 0.0
    for one, sd in zip(brew.doubts, sds, strict=True):
        if outside and not one.alone:
            aside += sd**2
            continue
        terms += [
            (places.setdefault(place, len(places)), share * sd, share)
            for place, share in one.places
        ]
    return brew.log_ratio, terms, aside
