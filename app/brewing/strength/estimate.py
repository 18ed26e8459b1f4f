"""Read a cup: ratio, strength, extraction and beverage, each estimate with its range.

The one door for pages. A measured strength is used where there is one, undoing any dilution to
reach the extraction; otherwise the extraction is the one to expect of such a brew (see
``expected``). Ranges of measured values are the usual tolerance of meter and scale.
"""

from dataclasses import dataclass, replace

from app.brewing.ranged import Ranged
from app.brewing.strength import notes
from app.brewing.strength.calibration import Calibration, Retained
from app.brewing.strength.cup import Cup, check_cup
from app.brewing.strength.expected import expected_extraction, expected_retention
from app.brewing.strength.extraction import FORMULAS
from app.brewing.strength.finished import drained, strength
from app.brewing.strength.measured import measured_extraction, measured_strength


@dataclass(frozen=True, slots=True)
class Estimate:
    """A cup read: strength and beverage are of the finished cup, ``None`` where unknowable.

    ``ratio`` is brew water to dose, ``total_ratio`` all water and ice to dose, ``formula`` which
    sum gave the extraction, ``measured`` whether a measured strength did, and ``calibrated_on``
    how many of the user's measured brews moved the estimate.
    """

    ratio: float
    total_ratio: float
    grams_per_l: float
    strength_pct: Ranged | None
    extraction_pct: Ranged | None
    beverage_g: Ranged | None
    formula: str
    measured: bool
    calibrated_on: int
    notes: tuple[str, ...]


def estimate_cup(
    cup: Cup, calibration: Calibration | None = None, retained: Retained | None = None
) -> Estimate:
    """What this cup is, measured where it can be and else estimated.

    ``calibration`` moves an estimated extraction, ``retained`` what the grounds hold. Never raises
    for values within ``bounds``; outside them ValueError with a sentence.
    """
    check_cup(cup)
    formula = FORMULAS[cup.kind]
    said = notes.assumptions(cup, formula)
    estimating = formula != "none" and cup.tds_pct is None
    used = calibration if estimating and calibration is not None and calibration.n else None
    if formula == "none":
        tds, of_dose, beverage = measured_strength(cup.tds_pct), None, _weighed(cup)
    else:
        tds, of_dose, beverage = _modelled(cup, formula, used, retained, said)
    all_water_g = cup.water_g + cup.added_g
    return Estimate(
        ratio=cup.water_g / cup.dose_g,
        total_ratio=all_water_g / cup.dose_g,
        grams_per_l=1000.0 * cup.dose_g / all_water_g,
        strength_pct=tds,
        extraction_pct=None if of_dose is None else of_dose.times(100.0),
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
    found = estimate_cup(cup, retained=retained).extraction_pct
    guess = estimate_cup(replace(cup, tds_pct=None), retained=retained).extraction_pct
    return found.value / guess.value if found and guess and guess.value > 0.0 else None


def _modelled(
    cup: Cup, formula: str, used: Calibration | None, retained: Retained | None, said: list[str]
) -> tuple[Ranged | None, Ranged | None, Ranged | None]:
    """Strength, extraction and beverage; what has to be said about them goes to ``said``."""
    retention = expected_retention(cup.kind, retained)
    if cup.tds_pct is None:
        of_dose: Ranged | None = expected_extraction(cup, used)
    else:
        of_dose = measured_extraction(cup, cup.tds_pct, formula, retention)
    said += notes.contradictions(cup, retention[0], of_dose[0] if of_dose else None)
    tds, beverage = measured_strength(cup.tds_pct), _weighed(cup)
    if of_dose is None or notes.NOTHING_LEFT in said:
        return tds, of_dose, beverage
    if beverage is None and (formula == "drip" or cup.added_g):
        said.append(notes.retention_note(retention, retained))
    tds = tds or _strength(cup, formula, retention, of_dose)
    return tds, of_dose, beverage or _beverage(cup, retention, of_dose)


def _strength(cup: Cup, formula: str, retention: Ranged, of_dose: Ranged) -> Ranged | None:
    poured = (formula, *cup.per_dose())
    best = strength(*poured, of_dose[0], retention[0])
    if best is None:
        return None
    corners = [strength(*poured, part, kept) for part in of_dose[1:] for kept in retention[1:]]
    edges = [best, *(corner for corner in corners if corner is not None)]
    return Ranged(best, min(edges), max(edges)).times(100.0)


def _weighed(cup: Cup) -> Ranged | None:
    return None if cup.beverage_g is None else Ranged(*(3 * (cup.beverage_g,)))


def _beverage(cup: Cup, retention: Ranged, of_dose: Ranged) -> Ranged:
    ratio, added, _ = cup.per_dose()
    usual, low_held, high_held = retention
    best, low, high = of_dose
    return Ranged(
        cup.dose_g * (drained(ratio, best, usual) + added),
        cup.dose_g * (drained(ratio, low, high_held) + added),
        cup.dose_g * (drained(ratio, high, low_held) + added),
    )
