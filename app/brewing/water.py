"""Brewing water: hardness in its many units, and two waters mixed to a target.

Hardness and alkalinity are in mg/L as calcium carbonate. In a mixture they are the means, weighted
by volume; scale that may form is left out.
"""

from dataclasses import dataclass

from app.brewing.bounds import HARDNESS_MG_L, SHARE, require

CALCIUM_CARBONATE_G_PER_MOL = 100.087

# mg/L as CaCO3 in one of each. German degree: 10 mg CaO/L; French: 10 mg CaCO3/L; US grain per
# gallon: 64.79891 mg in 3.785411784 L; English degree: one grain per imperial gallon.
HARDNESS_UNITS = {
    "mg/L CaCO3": 1.0,
    "mmol/L": CALCIUM_CARBONATE_G_PER_MOL,
    "°dH": 17.848,
    "°f": 10.0,
    "°e": 14.254,
    "US gpg": 17.118,
}


@dataclass(frozen=True)
class Mix:
    """Two waters mixed: the share (0 to 1) of the first, hardness and alkalinity of the mixture."""

    share_first: float
    hardness_mg_l: float
    alkalinity_mg_l: float

    def parts(self, total_g: float) -> tuple[float, float]:
        """Grams of the first and the second water in ``total_g`` of the mixture."""
        return self.share_first * total_g, (1.0 - self.share_first) * total_g


def convert_hardness(value: float, from_unit: str, to_unit: str) -> float:
    """Hardness or alkalinity in another unit; ValueError for an unknown one or out of bounds.

    >>> round(convert_hardness(7.0, "°dH", "mg/L CaCO3"))
    125
    """
    for unit in (from_unit, to_unit):
        if unit not in HARDNESS_UNITS:
            raise ValueError(f"Unit must be one of: {', '.join(HARDNESS_UNITS)}.")
    mg_l = value * HARDNESS_UNITS[from_unit]
    require("Hardness", mg_l, HARDNESS_MG_L, "mg/L as CaCO3")
    return mg_l / HARDNESS_UNITS[to_unit]


def hardness_from_ions(calcium_mg_l: float, magnesium_mg_l: float) -> float:
    """Hardness (mg/L as CaCO3) from a bottle's label (mg/L): 2.497 Ca + 4.118 Mg, by molar masses.

    Raises ValueError outside ``bounds.HARDNESS_MG_L``.
    """
    require("Calcium", calcium_mg_l, HARDNESS_MG_L, "mg/L")
    require("Magnesium", magnesium_mg_l, HARDNESS_MG_L, "mg/L")
    return 2.497 * calcium_mg_l + 4.118 * magnesium_mg_l


def alkalinity_from_bicarbonate(bicarbonate_mg_l: float) -> float:
    """Alkalinity (mg/L as CaCO3) from a label (mg/L): 0.820 HCO3, by equivalent masses.

    Raises ValueError outside ``bounds.HARDNESS_MG_L``.
    """
    require("Bicarbonate", bicarbonate_mg_l, HARDNESS_MG_L, "mg/L")
    return 0.820 * bicarbonate_mg_l


def mix(first: tuple[float, float], second: tuple[float, float], share_first: float) -> Mix:
    """Two waters, each (hardness, alkalinity), mixed; ValueError for a value out of bounds."""
    require("Share of the first water", share_first, SHARE)
    for hardness, alkalinity in (first, second):
        require("Hardness", hardness, HARDNESS_MG_L, "mg/L")
        require("Alkalinity", alkalinity, HARDNESS_MG_L, "mg/L")
    rest = 1.0 - share_first
    hard, alkaline = (share_first * a + rest * b for a, b in zip(first, second, strict=True))
    return Mix(share_first, hard, alkaline)


def mix_to_hardness(
    first: tuple[float, float], second: tuple[float, float], target_mg_l: float
) -> Mix:
    """Two waters, each (hardness, alkalinity), mixed to a hardness of ``target_mg_l``.

    Raises ValueError for a target that does not lie between the two.

    >>> mix_to_hardness((160.0, 110.0), (10.0, 5.0), 70.0).share_first
    0.4
    """
    low, high = sorted((first[0], second[0]))
    require("Target hardness (between the two waters)", target_mg_l, (low, high), "mg/L")
    if low == high:
        return mix(first, second, 1.0)
    return mix(first, second, (target_mg_l - second[0]) / (first[0] - second[0]))
