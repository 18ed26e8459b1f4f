"""Dose and water for a wanted strength and amount of beverage, and how far off it may be."""

from dataclasses import dataclass, replace

from app.brewing.ranged import Ranged
from app.brewing.strength.calibration import Calibration
from app.brewing.strength.cup import Cup, check_cup
from app.brewing.strength.estimate import estimate_cup
from app.brewing.strength.expected import beyond, expected_extraction
from app.brewing.strength.extraction import FORMULAS
from app.brewing.strength.notes import NOTHING_NOTED, TOO_COOL, retention_note
from app.brewing.strength.retention import Retained, expected_retention
from app.brewing.strength.solve import Solved, WholeBrew, solve_between

_TRIES, _SETTLED = 100, 1e-11


@dataclass(frozen=True, slots=True)
class Target:
    """What to weigh for a strength, and the ranges due to uncertain extraction and retention.

    ``strength_pct`` (% TDS) and ``beverage_g`` are what these ``amounts`` may result in.
    """

    amounts: WholeBrew
    dose_g: Ranged
    water_g: Ranged
    strength_pct: Ranged | None
    beverage_g: Ranged | None
    notes: tuple[str, ...]


def hit(
    wanted_pct: float,
    beverage_g: float,
    like: Cup,
    calibration: Calibration | None = None,
    retained: Retained | None = None,
) -> Target:
    """Dose and brew water for ``beverage_g`` of a cup of ``wanted_pct`` TDS.

    ``like`` gives the kind of brewer, grind, times, temperature, and the water and ice added; its
    dose and brew water do not matter. Immersion: R = E (1/t - 1); drip: R = E/t + h - E (see
    ``solve``); then B gives D. Raises ValueError with a sentence for a kind without a model, values
    outside their bounds, or a target that no brew reaches.
    """
    check_cup(like)
    wish = {"strength_pct": wanted_pct, "beverage_g": beverage_g, "added_g": like.added_g}
    retention = expected_retention(like.kind, retained)
    solved = solve_brew(like, calibration, retention, **wish)
    amounts = solved.amounts
    bare = replace(like, beverage_g=None, tds_pct=None)
    cup = replace(bare, dose_g=amounts.dose_g, water_g=amounts.water_g)
    estimate = estimate_cup(cup, calibration, retained)
    notes = tuple(dict.fromkeys((*estimate.notes, retention_note(retention, retained))))
    dose_g, water_g = solved.ranges["dose_g"], solved.ranges["water_g"]
    return Target(amounts, dose_g, water_g, estimate.strength_pct, estimate.beverage_g, notes)


def solve_brew(
    like: Cup, calibration: Calibration | None, retention: Ranged, **known: float
) -> Solved:
    """``solve_between`` for a brew made like ``like``, whose extraction may depend on the answer.

    A drip brew extracts more from more water, so that the sum is done again with the ratio it
    gave, until that stays. Raises ValueError where ``solve`` and ``check_reached`` do, and where
    no ratio stays.
    """
    check_reached(like, calibration)
    cup, before = like, -1.0
    for _ in range(_TRIES):
        extraction = expected_extraction(cup, calibration)
        solved = solve_between(FORMULAS[like.kind], extraction, retention, **known)
        if abs(extraction.value - before) < _SETTLED:
            return solved
        amounts, before = solved.amounts, extraction.value
        cup = replace(like, dose_g=amounts.dose_g, water_g=amounts.water_g)
    raise ValueError("No brew fits these three.")


def check_reached(like: Cup, calibration: Calibration | None) -> None:
    """Raise ValueError with a sentence where no estimate reaches a brew like ``like``."""
    if beyond(like, calibration):
        raise ValueError(NOTHING_NOTED if like.water_temp_c is None else TOO_COOL)
