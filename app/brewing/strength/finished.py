"""Strength of the finished cup from the extraction, and the other way round.

Masses are in grams per gram of dose: ``ratio`` brew water, ``added`` bypass and melted ice,
``beverage`` the finished cup as weighed (None if it was not), ``retention`` what the grounds hold.
``extraction`` and ``strength`` are fractions, ``formula`` is "immersion" or "drip". Sources of the
formulas: see ``extraction``.
"""

from math import sqrt

from app.brewing.strength.extraction import extraction_immersed, strength_immersed


def drained(ratio: float, extraction: float, retention: float) -> float:
    """Beverage that leaves the grounds: at least what dissolved, since that takes water with it."""
    return max(extraction, ratio + extraction - retention)


def share_in_cup(formula: str, ratio: float, extraction: float, retention: float) -> float:
    """Share (0 to 1) of what dissolved that ends in the cup; by drip, water rinses it all out."""
    if formula == "drip":
        return 1.0
    return min(1.0, drained(ratio, extraction, retention) / (ratio + extraction))


def strength(
    formula: str,
    ratio: float,
    added: float,
    beverage: float | None,
    extraction: float,
    retention: float,
) -> float | None:
    """Strength of the finished cup, or None where the weights contradict each other."""
    total = drained(ratio, extraction, retention) + added if beverage is None else beverage
    if total <= added:
        return None
    if formula == "immersion":
        return strength_immersed(ratio, extraction) * (total - added) / total
    return extraction / total if extraction < total else None


def extraction(
    formula: str, ratio: float, added: float, beverage: float | None, cup: float, retention: float
) -> float | None:
    """Extraction behind a finished cup of strength ``cup``, or None where none gives it."""
    if formula == "drip":
        dripped = (
            cup * (ratio - retention + added) / (1.0 - cup) if beverage is None else cup * beverage
        )
        return dripped if 0.0 < dripped < 1.0 else None
    steeped = _before_dilution(ratio, added, beverage, cup, retention)
    if steeped is None or not 0.0 < steeped < 1.0:
        return None
    dissolved = extraction_immersed(ratio, steeped)
    return dissolved if dissolved < 1.0 else None


def _before_dilution(
    ratio: float, added: float, beverage: float | None, cup: float, retention: float
) -> float | None:
    """Strength in the brewer, t: the solids t B of what left it are those of the finished cup.

    Unweighed, B = R/(1 - t) - r (Liang 2021), which makes a quadratic in t with one positive root.
    """
    if not added:
        return cup
    if beverage is not None:
        return cup * beverage / (beverage - added) if beverage > added else None
    linear = ratio - retention - cup * (retention - added)
    constant = cup * (ratio - retention + added)
    root = sqrt(linear * linear + 4.0 * retention * constant)
    return 2.0 * constant / (linear + root) if linear + root > 0.0 else None
