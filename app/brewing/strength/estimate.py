"""Estimate a cup's ratio, strength, extraction and beverage, each with its range.

Where a strength was measured, the extraction is calculated from it, any dilution undone; otherwise
it is the one to expect of such a brew (see ``expected``), and the strength follows. The range of a
measured value is the usual tolerance of meter and scale.
"""

from dataclasses import dataclass

from app.brewing.ranged import Ranged
from app.brewing.strength import notes
from app.brewing.strength.calibration import Calibration
from app.brewing.strength.cup import Cup, check_cup
from app.brewing.strength.expected import beyond, expected_extraction, modelled_extraction
from app.brewing.strength.extraction import FORMULAS, SOLUBLE
from app.brewing.strength.finished import drained, strength
from app.brewing.strength.measured import measured_extraction, measured_strength
from app.brewing.strength.retention import USUAL_EXTRACTION, Retained, expected_retention

# What may have dissolved of a brew that no estimate reaches.
_ANY = Ranged(USUAL_EXTRACTION, 0.0, SOLUBLE)
# No liquid is stronger than all that dissolves in the least water that wet grounds hold.
STRONGEST = SOLUBLE / (SOLUBLE + 1.5)


@dataclass(frozen=True, slots=True)
class Estimate:
    """What is known of a finished cup; None where neither a measurement nor a model tells.

    ``ratio`` is brew water to dose, ``total_ratio`` and ``grams_per_l`` (dose to a litre) count all
    water and ice. ``strength_pct`` is in % TDS, ``extraction_pct`` in % of the dose. ``formula``
    is one of ``extraction.FORMULAS``, ``measured`` whether the strength was, ``calibrated_on`` the
    number of the user's measured brews behind the estimate, and ``notes`` what it assumes.
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
    """The figures of ``cup``, from what was measured of it, else from the model of its brewer.

    ``calibration`` and ``retained``, learned from the user's own brews, replace the published
    extraction and retention. Raises ValueError only for values outside ``bounds``.

    >>> made = estimate_cup(Cup("immersion", dose_g=13.0, water_g=208.0, tds_pct=1.29))
    >>> made.ratio, made.measured, round(made.extraction_pct.value, 1)
    (16.0, True, 20.9)
    """
    check_cup(cup)
    formula = FORMULAS[cup.kind]
    texts = notes.assumptions(cup, formula)
    estimating = formula != "none" and cup.tds_pct is None
    used = calibration if estimating and calibration is not None and calibration.n else None
    if formula == "none":
        tds, of_dose, beverage = measured_strength(cup), None, _weighed(cup)
    else:
        tds, of_dose, beverage = _modelled(cup, formula, used, retained, texts)
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
        notes=tuple(texts),
    )


def measured_over_estimated(cup: Cup, retained: Retained | None = None) -> float | None:
    """Measured over estimated extraction; None without a measured strength or without a model."""
    if cup.tds_pct is None:
        return None
    measured = estimate_cup(cup, retained=retained).extraction_pct
    if measured is None:
        return None
    return measured.value / (100.0 * modelled_extraction(cup))


def _modelled(
    cup: Cup, formula: str, used: Calibration | None, retained: Retained | None, texts: list[str]
) -> tuple[Ranged | None, Ranged | None, Ranged | None]:
    """Strength, extraction and beverage; notes about them are appended to ``texts``."""
    retention = expected_retention(cup.kind, retained)
    tds, beverage = measured_strength(cup), _weighed(cup)
    if cup.tds_pct is not None:
        of_dose = measured_extraction(cup, cup.tds_pct, formula, retention)
    elif beyond(cup, used):
        texts[:] = [notes.NOTHING_NOTED if cup.water_temp_c is None else notes.TOO_COOL]
        texts += notes.contradictions(cup, retention.value, USUAL_EXTRACTION)
        nothing = notes.NOTHING_LEFT in texts
        return None, None, beverage or (None if nothing else _beverage(cup, retention, _ANY))
    else:
        of_dose = expected_extraction(cup, used)
    texts += notes.contradictions(cup, retention.value, of_dose.value if of_dose else None)
    if of_dose is None or notes.NOTHING_LEFT in texts:
        return tds, of_dose, beverage
    if beverage is None and (formula == "drip" or cup.added_g):
        texts.append(notes.retention_note(retention, retained))
    tds = tds or _strength(cup, formula, retention, of_dose)
    if tds is None and notes.LIGHT_BEVERAGE not in texts:
        texts.append(notes.HARDLY_LEFT)
    return tds, of_dose, beverage or _beverage(cup, retention, of_dose)


def _strength(cup: Cup, formula: str, retention: Ranged, of_dose: Ranged) -> Ranged | None:
    poured = (formula, *cup.per_dose())
    best = strength(*poured, of_dose.value, retention.value)
    if best is None or best > STRONGEST:
        return None
    corners = [strength(*poured, part, held) for part in of_dose[1:] for held in retention[1:]]
    edges = [best, *(STRONGEST if corner is None else corner for corner in corners)]
    return Ranged(best, min(edges), min(STRONGEST, max(edges))).times(100.0)


def _weighed(cup: Cup) -> Ranged | None:
    return None if cup.beverage_g is None else Ranged(*[cup.beverage_g] * 3)


def _beverage(cup: Cup, retention: Ranged, of_dose: Ranged) -> Ranged:
    ratio, added, _ = cup.per_dose()
    usual, low_held, high_held = retention
    ends = ((of_dose.value, usual), (of_dose.low, high_held), (of_dose.high, low_held))
    return Ranged(*[cup.dose_g * (drained(ratio, part, held) + added) for part, held in ends])
