"""What steeping longer or shorter does to an immersion brew at one grind."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.brewing.bounds import require
from app.brewing.ranged import Ranged
from app.brewing.strength.calibration import Calibration, Retained
from app.brewing.strength.cup import Cup, check_cup
from app.brewing.strength.estimate import estimate_cup
from app.brewing.strength.expected import expected_retention, extraction_at_the_end
from app.brewing.strength.extraction import FORMULAS
from app.brewing.strength.finished import extraction
from app.brewing.strength.kinetics import LONGEST_S, seconds_to


@dataclass(frozen=True, slots=True)
class SteepPoint:
    """Strength (% TDS) and extraction (% of the dose) after ``steep_s``, None where unknown."""

    steep_s: float
    strength_pct: Ranged | None
    extraction_pct: Ranged | None


def steep_curve(
    cup: Cup,
    seconds: Sequence[float],
    calibration: Calibration | None = None,
    retained: Retained | None = None,
) -> list[SteepPoint]:
    """Estimates of the same immersion brew after each of ``seconds``, ignoring measurements.

    Raises ValueError for a brew that is no immersion and for times outside ``bounds.STEEP_S``.
    """
    bare = _unmeasured(cup)
    points = []
    for steep_s in seconds:
        estimate = estimate_cup(replace(bare, steep_s=steep_s), calibration, retained)
        points.append(SteepPoint(steep_s, estimate.strength_pct, estimate.extraction_pct))
    return points


def steep_for_strength(
    cup: Cup,
    wanted_pct: float,
    calibration: Calibration | None = None,
    retained: Retained | None = None,
    longest_s: float = LONGEST_S,
) -> float | None:
    """Shortest steep (s) with an estimated strength of ``wanted_pct`` (% TDS).

    None if no steep of up to ``longest_s`` has it. The strength gives the extraction needed, this
    the share of the final extraction to reach, and this the time, of which half the press is part.
    Raises ValueError for a brew that is no immersion and for values outside their bounds.
    """
    bare = _unmeasured(cup)
    check_cup(bare)
    require("Longest steep", longest_s, (0.0, LONGEST_S), "s")
    retention, (ratio, added, _) = expected_retention(cup.kind, retained)[0], bare.per_dose()
    if ratio <= retention:
        return None
    needed = extraction("immersion", ratio, added, None, wanted_pct / 100.0, retention)
    if needed is None:
        return None
    contact_s = seconds_to(cup.grind, needed / extraction_at_the_end(calibration))
    if contact_s is None:
        return None
    steep_s = max(0.0, contact_s - (cup.press_s or 0) / 2)
    return steep_s if steep_s <= longest_s else None


def _unmeasured(cup: Cup) -> Cup:
    if FORMULAS.get(cup.kind) != "immersion":
        raise ValueError("Only an immersion brew has a curve over its steep time.")
    return replace(cup, tds_pct=None, beverage_g=None)
