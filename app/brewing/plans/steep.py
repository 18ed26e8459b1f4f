"""What steeping longer or shorter does to an immersion brew at one grind."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.brewing.bounds import require
from app.brewing.ranged import Ranged
from app.brewing.strength.calibration import Calibration
from app.brewing.strength.cup import Cup, check_cup
from app.brewing.strength.estimate import estimate_cup
from app.brewing.strength.expected import beyond, expected_extraction
from app.brewing.strength.extraction import EQUILIBRIUM_EXTRACTION, FORMULAS
from app.brewing.strength.finished import extraction
from app.brewing.strength.kinetics import LONGEST_S, seconds_to
from app.brewing.strength.retention import Retained, expected_retention

_WITHIN_S = 0.001
_STEP = 1.25  # from one time tried to the next


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

    None if no steep of up to ``longest_s`` has it, or no estimate reaches this brew. The strength
    gives the extraction needed, and the steep that has it is read off the published curve, or with
    a calibration, which differs from time to time, searched for. Raises ValueError for a brew that
    is no immersion and for values outside their bounds.
    """
    bare = _unmeasured(cup)
    check_cup(bare)
    require("Longest steep", longest_s, (0.0, LONGEST_S), "s")
    retention, (ratio, added, _) = expected_retention(cup.kind, retained)[0], bare.per_dose()
    needed = extraction("immersion", ratio, added, None, wanted_pct / 100.0, retention)
    if ratio <= retention or needed is None or beyond(replace(bare, steep_s=0.0), calibration):
        return None

    if (calibration is None or not calibration.n) and bare.stirs != 0:
        contact_s = seconds_to(cup.grind, needed / EQUILIBRIUM_EXTRACTION)
        steep_s = None if contact_s is None else max(0.0, contact_s - (cup.press_s or 0) / 2)
        return None if steep_s is None or steep_s > longest_s else steep_s

    def reached(steep_s: float) -> bool:
        return expected_extraction(replace(bare, steep_s=steep_s), calibration).value >= needed

    short_s, long_s = 0.0, min(1.0, longest_s)
    if reached(short_s):
        return short_s
    while not reached(long_s):
        if long_s >= longest_s:
            return None
        short_s, long_s = long_s, min(longest_s, _STEP * long_s)
    while long_s - short_s > _WITHIN_S:
        middle_s = (short_s + long_s) / 2
        short_s, long_s = (short_s, middle_s) if reached(middle_s) else (middle_s, long_s)
    return long_s


def _unmeasured(cup: Cup) -> Cup:
    if FORMULAS.get(cup.kind) != "immersion":
        raise ValueError("Only an immersion brew has a curve over its steep time.")
    return replace(cup, tds_pct=None, beverage_g=None)
