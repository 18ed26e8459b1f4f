"""Which measured brews nothing is learned from, and why."""

from math import hypot, log

from app.brewing.sentences import Amount, Sentence
from app.brewing.strength import notes
from app.brewing.strength.calibration import BREW_SD
from app.brewing.strength.cup import Cup
from app.brewing.strength.doubt import doubts
from app.brewing.strength.estimate import estimate_cup, measured_over_estimated
from app.brewing.strength.retention import Retained, retention_from_weighed

HEAVIER = "The beverage weighs more than the water and ice poured: check the numbers."
FAR_FROM_ANY = "It lies further from the estimate than brews do: check the numbers."
FAR_FROM_OTHERS = "It lies far from your other brews of its kind, so it counts nothing."
HELD_G_PER_G = (0.3, 6.0)  # what wet grounds can hold, generously (our own choice)
HELD_TOO_ODD = Sentence(
    "By these weights the grounds hold less than {} or more than {} times the dose: check them.",
    *(Amount(end) for end in HELD_G_PER_G),
)
_FURTHEST_SDS = 6.0
_CONTRADICTING = (
    notes.IMPOSSIBLE, notes.ABOVE_SOLUBLE, notes.HEAVY_BEVERAGE, notes.LIGHT_BEVERAGE,
    notes.NOTHING_LEFT,
)  # fmt: skip


def why_not_its_strength(cup: Cup, retained: Retained | None = None) -> str:
    """Why nothing is learned from the measured strength of ``cup``; empty where something is.

    >>> why_not_its_strength(Cup("cone", 15.0, 250.0, beverage_g=220.0, tds_pct=3.1))
    'More than about 30 % extracted is more than coffee gives: check the numbers.'
    """
    found = estimate_cup(cup, retained=retained).notes
    for note in _CONTRADICTING:
        if note in found:
            return note
    if cup.beverage_g is not None and cup.beverage_g > cup.water_g + cup.added_g:
        return HEAVIER
    ratio = measured_over_estimated(cup, retained)
    if ratio is None:
        return notes.NO_MODEL
    off = log(ratio)
    usual = hypot(BREW_SD, *(one.down if off < 0.0 else one.up for one in doubts(cup)))
    return FAR_FROM_ANY if abs(off) > _FURTHEST_SDS * usual else ""


def why_not_its_weight(cup: Cup) -> str:
    """Why nothing is learned from the weighed beverage of ``cup``; empty where something is."""
    if cup.beverage_g is None:
        return ""
    if cup.beverage_g > cup.water_g + cup.added_g:
        return HEAVIER
    held = retention_from_weighed(cup.dose_g, cup.water_g, cup.beverage_g - cup.added_g)
    return "" if HELD_G_PER_G[0] <= held <= HELD_G_PER_G[1] else HELD_TOO_ODD
