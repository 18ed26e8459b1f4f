"""How strong the household's cups really are: a hidden model, unlike the journal's own.

The journal estimates from one final extraction and published curves of a stirred steep, chosen by
a word for the grind. The model here is another, all of it invented:

- what dissolves comes from a loose and a bound pool in each grain, both emptying exponentially,
  with time constants that grow with the grain's size and shrink as the water gets hotter;
- the amount that can dissolve grows with the ratio and the temperature, and each brewer has its
  own offset (a press squeezes unevenly, pouring stirs a pot);
- a cone rinses the grounds: finer grounds, more water and a longer pour give more;
- some water evaporates; what the grounds hold depends on how hard they are pressed;
- grounds left unstirred stay dry in places;
- a paper used before passes a little less;
- dose and water differ from what was noted by the scale's error, brews vary by 3 %, the meter has
  an error of 0.03 points of TDS, the scale under the cup one of half a gram.

Only the conservation of mass is shared with the journal's model.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log
from random import Random

LOOSE_SHARE = 0.52
LOOSE_S, BOUND_S = 7.0, 62.0  # time constants at 500 micrometres and 90 degC
USUAL_SIZE_UM, USUAL_TEMP_C = 500.0, 90.0
MOST_SOLUBLE = 0.245
OFFSETS = {"pressed immersion": 1.03, "immersion": 1.07, "cone": 0.90}
HELD_G_PER_G = {"pressed immersion": 1.72, "immersion": 2.25, "cone": 1.95}
BREW_SD = 0.03
METER_SD_PCT = 0.03
DOSE_SD_G, WATER_SD_G, CUP_SD_G = 0.07, 1.0, 0.5


@dataclass(frozen=True, slots=True)
class NotedBrew:
    """A brew as noted, with the grain size behind the grinder's setting."""

    kind: str
    size_um: float
    dose_g: float
    water_g: float
    bypass_g: float
    ice_g: float
    temp_c: float
    steep_s: int
    effort: int
    flipped: bool
    stirs: int | None
    paper_use: int


@dataclass(frozen=True, slots=True)
class TrueCup:
    """The result: extraction as a fraction, and the finished cup's strength (% TDS) and mass."""

    extraction: float
    strength_pct: float
    beverage_g: float


def brew(poured: NotedBrew, rng: Random) -> TrueCup:
    """The cup as it really is, with random errors."""
    dose_g = poured.dose_g + rng.gauss(0.0, DOSE_SD_G)
    water_g = poured.water_g + rng.gauss(0.0, WATER_SD_G)
    extraction = _extraction(poured, water_g / dose_g) * exp(rng.gauss(0.0, BREW_SD))
    solids_g = extraction * dose_g
    left_g = water_g * (1.0 - 0.008 - 0.00003 * poured.steep_s)
    held_g = dose_g * (HELD_G_PER_G[poured.kind] - 0.06 * (poured.effort - 2))
    if poured.kind == "cone":
        drained_g, carried_g = left_g - held_g + solids_g, solids_g
    else:
        drained_g = left_g + solids_g - held_g
        carried_g = solids_g * drained_g / (left_g + solids_g)
    beverage_g = drained_g + poured.bypass_g + poured.ice_g
    return TrueCup(extraction, 100.0 * carried_g / beverage_g, beverage_g)


def measured_pct(made: TrueCup, rng: Random) -> float:
    """What a strength meter shows, to 0.01 % TDS."""
    return round(made.strength_pct + rng.gauss(0.0, METER_SD_PCT), 2)


def weighed_g(made: TrueCup, rng: Random) -> float:
    """What the kitchen scale shows under the cup, to the gram."""
    return float(round(made.beverage_g + rng.gauss(0.0, CUP_SD_G)))


def _extraction(poured: NotedBrew, ratio: float) -> float:
    size = poured.size_um / USUAL_SIZE_UM
    hotter = poured.temp_c - USUAL_TEMP_C
    soluble = MOST_SOLUBLE * (1.0 + 0.0022 * hotter) * ratio / (ratio + 1.3)
    if poured.kind == "cone":
        share = _washed_out(ratio, size, poured.steep_s)
    else:
        share = _steeped(size, hotter, poured.steep_s)
    flipped = 1.015 if poured.flipped else 1.0
    passing = 1.0 - 0.004 * (poured.paper_use - 1)
    wetted = 1.0 if poured.stirs is None else 1.0 - 0.09 * exp(-0.7 * poured.stirs)
    return soluble * share * OFFSETS[poured.kind] * flipped * wetted * passing


def _steeped(size: float, hotter: float, steep_s: int) -> float:
    quicker = exp(0.014 * hotter)
    loose = 1.0 - exp(-steep_s * quicker / (LOOSE_S * size))
    bound = 1.0 - exp(-steep_s * quicker / (BOUND_S * size**1.6))
    return LOOSE_SHARE * loose + (1.0 - LOOSE_SHARE) * bound


def _washed_out(ratio: float, size: float, pour_s: int) -> float:
    washed, finer = 1.0 - exp(-ratio / 5.2), 0.90 - 0.09 * log(size)
    return washed * finer * exp(0.08 * log(pour_s / 180.0))
