"""Read a cup: ratio, strength, extraction and beverage, each estimate with its range.

The one door for pages. A measured strength is used where there is one, undoing any dilution to
reach the extraction; otherwise the extraction is estimated from the kind of brew:

- immersion: 0.215 (0.19 to 0.24) of the dose at the end (Liang 2021), times the share reached in
  the steep and half of the press at this grind (Moroney 2016), neighbouring grinds as its range;
- drip: 20 %, with 16 to 24 % as range, the span brewed by Frost, Ristenpart, Guinard 2020
  (doi 10.1111/1750-3841.15326); no published kinetics give a single drip brew.

A calibration on the user's own brews multiplies that and takes the place of the published range;
the part of the range that comes from grind and time shrinks with the root of brews behind it (our
own rule). Ranges of measured values are the usual tolerance of meter and scale.
"""

from dataclasses import replace
from math import hypot, sqrt

from . import bounds, notes
from .calibration import NORMAL_95, Calibration, Retained
from .cup import Cup as Cup
from .cup import Ranged as Ranged
from .cup import Reading as Reading
from .cup import check_cup
from .extraction import (
    EQUILIBRIUM_EXTRACTION,
    EQUILIBRIUM_EXTRACTION_RANGE,
    FORMULAS,
    RETAINED_G_PER_G,
)
from .finished import drained, strength
from .kinetics import fraction, fraction_range
from .measured import Triple, measured_extraction, measured_strength

DRIP_EXTRACTION = (0.20, 0.16, 0.24)
SHORTEST_UNKNOWN_STEEP_S = 60.0


def read_cup(
    cup: Cup, calibration: Calibration | None = None, retained: Retained | None = None
) -> Reading:
    """What this cup is, measured where it can be and else estimated.

    ``calibration`` moves an estimated extraction, ``retained`` what the grounds hold. Never raises
    for values within ``bounds``; outside them ValueError with a sentence.
    """
    check_cup(cup)
    formula = FORMULAS[cup.kind]
    said = notes.assumptions(cup, formula)
    used = calibration if calibration is not None and calibration.n else None
    if formula == "none" or cup.tds_pct is not None:
        used = None
    if formula == "none":
        tds, of_dose, beverage = measured_strength(cup.tds_pct), None, _weighed(cup)
    else:
        tds, of_dose, beverage = _modelled(cup, formula, used, retained, said)
    all_water_g = cup.water_g + cup.added_g
    return Reading(
        ratio=cup.water_g / cup.dose_g,
        total_ratio=all_water_g / cup.dose_g,
        grams_per_l=1000.0 * cup.dose_g / all_water_g,
        strength_pct=tds,
        extraction_pct=None if of_dose is None else _percent(of_dose),
        beverage_g=beverage,
        formula=formula,
        measured=cup.tds_pct is not None,
        calibrated_on=0 if used is None else used.n,
        notes=tuple(said),
    )


def measured_over_estimated(cup: Cup, retained: Retained | None = None) -> float | None:
    """The ratio ``calibration.learn`` wants, from a cup with a measured strength; else None."""
    if cup.tds_pct is None:
        return None
    found = read_cup(cup, retained=retained).extraction_pct
    guess = read_cup(replace(cup, tds_pct=None), retained=retained).extraction_pct
    return found.value / guess.value if found and guess and guess.value > 0.0 else None


def _modelled(
    cup: Cup, formula: str, used: Calibration | None, retained: Retained | None, said: list[str]
) -> tuple[Ranged | None, Triple | None, Ranged | None]:
    """Strength, extraction and beverage; what has to be said about them goes to ``said``."""
    held = _held(cup, retained)
    if cup.tds_pct is None:
        of_dose: Triple | None = _estimated(cup, formula, used)
    else:
        of_dose = measured_extraction(cup, cup.tds_pct, formula, held)
    said += notes.contradictions(cup, held[0], of_dose[0] if of_dose else None)
    tds, beverage = measured_strength(cup.tds_pct), _weighed(cup)
    if of_dose is None or notes.NOTHING_LEFT in said:
        return tds, of_dose, beverage
    if beverage is None and (formula == "drip" or cup.added_g):
        said.append(notes.held_note(held, retained))
    tds = tds or _strength(cup, formula, held, of_dose)
    return tds, of_dose, beverage or _beverage(cup, held, of_dose)


def _estimated(cup: Cup, formula: str, used: Calibration | None) -> Triple:
    if formula == "drip":
        reached, slower, faster = 1.0, 1.0, 1.0
        usual, low, high = DRIP_EXTRACTION
    else:
        reached, slower, faster = _reached(cup)
        usual, (low, high) = EQUILIBRIUM_EXTRACTION, EQUILIBRIUM_EXTRACTION_RANGE
    if used is None or not reached:
        return usual * reached, low * slower, high * faster
    best = usual * reached * used.factor
    own = NORMAL_95 * used.sd
    fading = reached * sqrt(1.0 + used.n)
    down = hypot(own, (reached - slower) / fading)
    return best, best * max(0.0, 1.0 - down), best * (1.0 + hypot(own, (faster - reached) / fading))


def _reached(cup: Cup) -> Triple:
    if cup.steep_s is None:
        return 1.0, fraction_range(cup.grind, SHORTEST_UNKNOWN_STEEP_S)[0], 1.0
    contact_s = min(cup.steep_s + (cup.press_s or 0) / 2, bounds.STEEP_S[1])
    return fraction(cup.grind, contact_s), *fraction_range(cup.grind, contact_s)


def _held(cup: Cup, retained: Retained | None) -> Triple:
    if retained is None or not retained.n:
        return RETAINED_G_PER_G[cup.kind]
    spread = NORMAL_95 * retained.sd
    return retained.value, max(0.0, retained.value - spread), retained.value + spread


def _strength(cup: Cup, formula: str, held: Triple, of_dose: Triple) -> Ranged | None:
    poured = (formula, *cup.per_dose())
    best = strength(*poured, of_dose[0], held[0])
    if best is None:
        return None
    corners = [strength(*poured, part, kept) for part in of_dose[1:] for kept in held[1:]]
    edges = [best, *(corner for corner in corners if corner is not None)]
    return _percent((best, min(edges), max(edges)))


def _weighed(cup: Cup) -> Ranged | None:
    return None if cup.beverage_g is None else Ranged(*(3 * (cup.beverage_g,)))


def _beverage(cup: Cup, held: Triple, of_dose: Triple) -> Ranged:
    ratio, added, _ = cup.per_dose()
    usual, low_held, high_held = held
    best, low, high = of_dose
    return Ranged(
        cup.dose_g * (drained(ratio, best, usual) + added),
        cup.dose_g * (drained(ratio, low, high_held) + added),
        cup.dose_g * (drained(ratio, high, low_held) + added),
    )


def _percent(parts: Triple) -> Ranged:
    best, low, high = parts
    return Ranged(100.0 * best, 100.0 * low, 100.0 * high)
