"""One brew's amounts from any three of them.

Eight quantities are tied by five equations once the extraction E and what the grounds hold, h,
are given (D dose, W brew water, A added water or melted ice, B finished beverage):

    R = W/D            Q = (W + A)/D            B = W + A + (E - h) D
    strength in the brewer: immersion E/(R + E), drip E/(R + E - h)
    strength of the cup: the former times (B - A)/B

Per gram of dose all is a point (R, q) with q = A/D. A ratio of two masses, R, Q, the strength in
the brewer and the drip strength of the cup each give a straight line through it; the immersion
strength of the cup gives a hyperbola. Two such facts fix the point, a mass fixes the scale.
Sources of the formulas: see ``extraction``.
"""

from contextlib import suppress
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

from app.brewing.bounds import EXTRACTION, RETENTION_G_PER_G, require
from app.brewing.ranged import Ranged
from app.brewing.strength.solve_plane import MASSES, between, crossing, on_hyperbola, straight

# Each quantity as it is called on a page, with its lowest and highest value.
QUANTITIES = {
    "dose_g": ("Dose", (0.01, 1e5)),
    "water_g": ("Brew water", (0.1, 1e6)),
    "added_g": ("Added water", (0.0, 1e6)),
    "beverage_g": ("Beverage", (0.1, 1e6)),
    "ratio": ("Ratio", (0.1, 1e4)),
    "total_ratio": ("Ratio with added water", (0.1, 1e4)),
    "strength_pct": ("Strength of the cup", (0.001, 60.0)),
    "brewed_strength_pct": ("Strength before dilution", (0.001, 60.0)),
}
_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class WholeBrew:
    """One brew: masses in g, strengths in % of the finished cup and of the brew before dilution."""

    dose_g: float
    water_g: float
    added_g: float
    beverage_g: float
    ratio: float
    total_ratio: float
    strength_pct: float
    brewed_strength_pct: float


def solve(formula: str, extraction: float, retention: float, **known: float) -> WholeBrew:
    """The whole brew from exactly three of its quantities.

    ``known`` names them as the fields of ``WholeBrew``; one at least is a mass above zero.
    ``formula`` is "immersion" or "drip", ``extraction`` a fraction, ``retention`` g per g of dose.
    Where two immersion brews give the same cup, one stronger and more diluted, the result is the
    one with the higher ratio. Raises ValueError with a sentence for too few or too many
    quantities, one out of range, or three that contradict each other.

    >>> brew = solve("drip", 0.2, 2.0, dose_g=14.0, ratio=17.0, added_g=0.0)
    >>> round(brew.beverage_g, 1), round(brew.strength_pct, 2)
    (212.8, 1.32)
    """
    _check(formula, extraction, retention, known)
    spare = extraction - retention
    # The heaviest mass sets the scale, since added water may be known to be zero.
    masses = sorted(((known[name], name) for name in known if name in MASSES), reverse=True)
    lines = [between(masses[0], other, spare) for other in masses[1:]]
    lines += straight(formula, extraction, spare, known)
    if len(lines) == 2:
        points = [crossing(*lines)]
    else:
        points = on_hyperbola(lines[0], extraction, spare, known["strength_pct"] / 100.0)
    return _amounts(formula, extraction, spare, masses[0], points)


def _check(formula: str, extraction: float, retention: float, known: dict[str, float]) -> None:
    if formula not in ("immersion", "drip"):
        raise ValueError("There is no model for this kind of brewer.")
    require("Extraction", extraction, EXTRACTION)
    require("Held by the grounds", retention, RETENTION_G_PER_G, "times the dose")
    for name, value in known.items():
        if name not in QUANTITIES:
            raise ValueError(f"Known quantities must be among: {', '.join(QUANTITIES)}.")
        label, limits = QUANTITIES[name]
        require(label, value, limits)
    if len(known) != 3:
        raise ValueError("Give exactly three quantities: fewer leave it open, more may clash.")
    if not any(value for name, value in known.items() if name in MASSES):
        raise ValueError("Give at least one weight above zero: the rest are only proportions.")


def _amounts(
    formula: str,
    extraction: float,
    spare: float,
    mass: tuple[float, str],
    points: list[tuple[float, float]],
) -> WholeBrew:
    mass_g, name = mass
    for ratio, added in points:
        drained = ratio + spare
        if ratio <= 0.0 or drained <= 0.0 or added < -_SLACK * ratio:
            continue
        added = max(0.0, added)
        of_dose = {"dose_g": 1.0, "water_g": ratio, "added_g": added}.get(name, drained + added)
        if of_dose <= 0.0:
            continue
        dose_g = mass_g / of_dose
        brewed = extraction / (ratio + extraction if formula == "immersion" else drained)
        return WholeBrew(
            dose_g,
            ratio * dose_g,
            added * dose_g,
            (drained + added) * dose_g,
            ratio,
            ratio + added,
            100.0 * brewed * drained / (drained + added),
            100.0 * brewed,
        )
    why = "No brew fits these three: the grounds would hold all the water."
    if any(ratio > 0.0 and ratio + added > 0.0 and added < 0.0 for ratio, added in points):
        why = "No brew fits: water would have to be taken out again. Ask for a weaker cup or less."
    raise ValueError(why)


class Solved(NamedTuple):
    """The best amounts, and the range of each quantity by its name in ``WholeBrew``."""

    amounts: WholeBrew
    ranges: dict[str, Ranged]


def solve_between(formula: str, extraction: Ranged, retention: Ranged, **known: float) -> Solved:
    """``solve`` at the best extraction and retention, ranging over those pairs of ends that fit.

    Raises ValueError where ``solve`` does.
    """
    best = solve(formula, extraction.value, retention.value, **known)
    brews = [best]
    for part, held in product(extraction[1:], retention[1:]):
        with suppress(ValueError):  # no such brew at these ends
            brews.append(solve(formula, part, held, **known))
    ranges = {}
    for name in QUANTITIES:
        values = [float(getattr(brew, name)) for brew in brews]
        ranges[name] = Ranged(values[0], min(values), max(values))
    return Solved(best, ranges)
