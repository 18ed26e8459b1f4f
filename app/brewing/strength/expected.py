"""The extraction to expect of a brew, with its range.

- immersion: 0.215 of the dose at the end of the steep (see ``extraction``), times the share of it
  reached in the steep and half of the press at this grind (see ``kinetics``); an unstirred steep
  lies in the middle between a stirred one and the slowest known;
- drip: 20 % at 55 g to a litre (SCAA Golden Cup, 2015) and a medium grind. More water rinses out
  more, as from one mixed vessel, and so does a finer grind: our own rule, since no published
  kinetics predict a single drip brew.

The range is what is unknown of the brew (see ``doubt``), less what measured brews have taught.
"""

from math import exp

from app.brewing.bounds import GRINDS
from app.brewing.ranged import Ranged
from app.brewing.strength.calibration import UNTAUGHT, Calibration
from app.brewing.strength.cup import Cup
from app.brewing.strength.doubt import contact_s, doubts, pace, stillness
from app.brewing.strength.extraction import EQUILIBRIUM_EXTRACTION, FORMULAS, SOLUBLE
from app.brewing.strength.kinetics import fraction
from app.brewing.strength.robust import NORMAL_95

LEAST_TEMP_C = 60.0  # below, nothing is known of a brew unless its like were measured
_DRIP_EXTRACTION, _DRIP_RATIO, _DRIP_RINSE = 0.20, 1000.0 / 55.0, 8.0
_DRIP_STEP = 0.04  # finer by one grind


def modelled_extraction(cup: Cup) -> float:
    """The extraction by the published model alone; ValueError for a brewer without one.

    >>> round(modelled_extraction(Cup("cone", 14.0, 14.0 * 1000 / 55)), 3)
    0.2
    """
    formula = FORMULAS[cup.kind]
    if formula == "none":
        raise ValueError("There is no model for this kind of brewer.")
    if formula == "drip":
        rinsed, usual = (
            1.0 - exp(-ratio / _DRIP_RINSE) for ratio in (cup.water_g / cup.dose_g, _DRIP_RATIO)
        )
        finer = GRINDS.index("medium") - GRINDS.index(cup.grind or "medium")
        return _DRIP_EXTRACTION * rinsed / usual * (1.0 + _DRIP_STEP * finer)
    seconds = contact_s(cup)
    reached = 1.0 if seconds is None else fraction(cup.grind, seconds)
    unstirred = stillness(cup) / 2 if cup.stirs == 0 else 0.0
    return EQUILIBRIUM_EXTRACTION * reached * exp(-unstirred)


def expected_extraction(cup: Cup, calibration: Calibration | None = None) -> Ranged:
    """The extraction, a fraction of the dose, to expect of 95 % of brews like ``cup``.

    Raises ValueError for a kind of brewer without a model.
    """
    known = calibration or UNTAUGHT
    middle, down, up = known.foretell(doubts(cup))
    best = min(SOLUBLE, modelled_extraction(cup) * exp(middle))
    return Ranged(best, best * exp(-down), max(best, min(SOLUBLE, best * exp(up))))


def beyond(cup: Cup, calibration: Calibration | None = None) -> bool:
    """Whether neither a published value nor enough measured brews say anything of this brew."""
    if cup.water_temp_c is not None:
        unknown = cup.water_temp_c < LEAST_TEMP_C
    else:
        unknown = cup.steep_s is None and FORMULAS[cup.kind] == "immersion"
    if not unknown or calibration is None:
        return unknown
    of = doubts(cup)
    return not all(map(calibration.knows, [one for one in of if one.alone] or of[1:]))


def reached_share(cup: Cup) -> Ranged:
    """The share (0 to 1) of all it can give that a brew reaches, as far as its steep tells.

    1 for a brew whose time is not noted, or that is no immersion.
    """
    seconds = contact_s(cup)
    if seconds is None or FORMULAS[cup.kind] != "immersion":
        return Ranged(1.0, 1.0, 1.0)
    best = min(1.0, modelled_extraction(cup) / EQUILIBRIUM_EXTRACTION)
    down, up = pace(cup.grind, seconds, None if cup.stirs is None else cup.stirs > 0)
    return Ranged(best, best * exp(-NORMAL_95 * down), min(1.0, best * exp(NORMAL_95 * up)))
