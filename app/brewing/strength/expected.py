"""The extraction and the retention to expect of a brew, with their ranges.

- immersion: 0.215 (0.19 to 0.24) of the dose at the end of the steep (see ``extraction``), times
  the share of it reached in the steep and half of the press at this grind (see ``kinetics``), with
  the neighbouring grinds as its range;
- drip: 20 %, with the range of 16 to 24 % brewed by Frost, Ristenpart, Guinard 2020, doi
  10.1111/1750-3841.15326; no published kinetics predict a single drip brew.

A calibration on the user's own brews multiplies the value and replaces the published range. The
part of the range that comes from grind and time shrinks with the square root of the number of
brews behind the calibration (our own rule).
"""

from math import hypot, sqrt

from app.brewing import bounds
from app.brewing.ranged import Ranged
from app.brewing.strength.calibration import NORMAL_95, Calibration, Retained
from app.brewing.strength.cup import Cup
from app.brewing.strength.extraction import (
    EQUILIBRIUM_EXTRACTION,
    EQUILIBRIUM_EXTRACTION_RANGE,
    FORMULAS,
    RETAINED_G_PER_G,
)
from app.brewing.strength.kinetics import fraction, fraction_range

DRIP_EXTRACTION = Ranged(0.20, 0.16, 0.24)
SHORTEST_UNKNOWN_STEEP_S = 60.0


def expected_extraction(cup: Cup, calibration: Calibration | None = None) -> Ranged:
    """The extraction, a fraction of the dose, to expect of ``cup`` before measuring it.

    The range is the published one, or with a calibration that of 95 % of the user's next brews.
    Raises ValueError for a kind of brewer without a model.

    >>> expected_extraction(Cup("cone", 14.0, 230.0))
    Ranged(value=0.2, low=0.16, high=0.24)
    """
    formula = FORMULAS[cup.kind]
    if formula == "none":
        raise ValueError("There is no model for this kind of brewer.")
    if formula == "drip":
        reached, slower, faster = 1.0, 1.0, 1.0
        usual, low, high = DRIP_EXTRACTION
    else:
        reached, slower, faster = _reached(cup)
        usual, (low, high) = EQUILIBRIUM_EXTRACTION, EQUILIBRIUM_EXTRACTION_RANGE
    if calibration is None or not calibration.n or not reached:
        return Ranged(usual * reached, low * slower, high * faster)
    best = usual * reached * calibration.factor
    own = NORMAL_95 * calibration.sd
    fading = reached * sqrt(1.0 + calibration.n)
    down, up = (hypot(own, part / fading) for part in (reached - slower, faster - reached))
    return Ranged(best, best * max(0.0, 1.0 - down), best * (1.0 + up))


def extraction_at_the_end(calibration: Calibration | None = None) -> float:
    """The value of ``expected_extraction`` (a fraction) for an immersion steeped to the end."""
    learned = calibration.factor if calibration is not None and calibration.n else 1.0
    return EQUILIBRIUM_EXTRACTION * learned


def _reached(cup: Cup) -> Ranged:
    if cup.steep_s is None:
        return Ranged(1.0, fraction_range(cup.grind, SHORTEST_UNKNOWN_STEEP_S)[0], 1.0)
    contact_s = min(cup.steep_s + (cup.press_s or 0) / 2, bounds.STEEP_S[1])
    return Ranged(fraction(cup.grind, contact_s), *fraction_range(cup.grind, contact_s))


def expected_retention(kind: str, retained: Retained | None = None) -> Ranged:
    """Grams of liquid that a gram of dose retains, with the range of about 95 % of brews.

    Raises ValueError for a kind of brewer without a model.
    """
    if kind not in RETAINED_G_PER_G:
        raise ValueError("There is no model for this kind of brewer.")
    if retained is None or not retained.n:
        return RETAINED_G_PER_G[kind]
    spread = NORMAL_95 * retained.sd
    return Ranged(retained.value, max(0.0, retained.value - spread), retained.value + spread)
