"""Strength and extraction of a cup whose strength was measured, with the tolerance of the tools."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, hypot

from app.brewing.ranged import Ranged
from app.brewing.strength.cup import Cup
from app.brewing.strength.extraction import (
    BRIX_ERROR,
    INSTRUMENT_TDS,
    USUAL_ERRORS,
    extraction_error_dripped,
    extraction_error_immersed,
)
from app.brewing.strength.finished import extraction


def meter_error(cup: Cup) -> float:
    """Error of the measured strength, a fraction: 0.03 % TDS, and for °Brix 5 % of it besides."""
    if cup.brix is None or cup.tds_pct is None:
        return INSTRUMENT_TDS
    return hypot(INSTRUMENT_TDS, BRIX_ERROR * cup.tds_pct / 100.0)


def measured_strength(cup: Cup) -> Ranged | None:
    """The measured strength (% TDS), if any, give or take the error of its meter."""
    if cup.tds_pct is None:
        return None
    either = 100.0 * meter_error(cup)
    return Ranged(cup.tds_pct, max(0.0, cup.tds_pct - either), cup.tds_pct + either)


def measured_extraction(cup: Cup, tds_pct: float, formula: str, retention: Ranged) -> Ranged | None:
    """The extraction (a fraction) of a cup measured at ``tds_pct``, or None if there is none.

    ``formula`` is "immersion" or "drip", ``retention`` the grams held per gram of dose. The range
    adds the range of the retention, where that matters, to the independent errors of dose (0.1 g),
    water or beverage (1 g) and meter (see ``meter_error``).
    """
    poured, tds, meter = cup.per_dose(), tds_pct / 100.0, meter_error(cup)
    best = extraction(formula, *poured, tds, retention.value)
    if best is None:
        return None
    if formula == "drip":
        beverage_g = best * cup.dose_g / tds
        errors = (*USUAL_ERRORS[:2], meter)
        error = extraction_error_dripped(cup.dose_g, beverage_g, tds, errors)
    else:
        steeped = best / (poured[0] + best)
        errors = (*USUAL_ERRORS[:2], meter * steeped / tds)
        error = extraction_error_immersed(cup.dose_g, cup.water_g, steeped, errors)
    others = (extraction(formula, *poured, tds, held) for held in retention[1:])
    edges = [best, *(edge for edge in others if edge is not None)]
    return Ranged(best, max(0.0, min(edges) - error), max(edges) + error)


@dataclass(frozen=True, slots=True)
class Misses:
    """Mean absolute misses in the unit measured, and the share of brews that a range held.

    ``plain`` and ``plain_inside`` are without what was learned; ``n`` brews are behind all four.
    """

    n: int
    plain: float
    learned: float
    plain_inside: float
    learned_inside: float


def misses(brews: Sequence[tuple[float, Ranged, Ranged]]) -> Misses:
    """Misses of brews, each (measured, predicted plainly, with learning); ValueError for none."""
    if not brews:
        raise ValueError("Without a measured brew there is nothing to compare with.")
    plain = [(measured, guess) for measured, guess, _ in brews]
    learned = [(measured, guess) for measured, _, guess in brews]
    return Misses(len(brews), _mean(plain), _mean(learned), _inside(plain), _inside(learned))


def _mean(pairs: list[tuple[float, Ranged]]) -> float:
    return fsum(abs(measured - guess.value) for measured, guess in pairs) / len(pairs)


def _inside(pairs: list[tuple[float, Ranged]]) -> float:
    return sum(guess.low <= measured <= guess.high for measured, guess in pairs) / len(pairs)
