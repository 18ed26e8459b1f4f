"""Strength and extraction of a brew, by immersion and by drip, with the published constants.

``strength`` is the mass fraction of the beverage that is dissolved coffee (0.012 is 1.2 % TDS),
``extraction`` the fraction of the dose that dissolved, ``ratio`` brew water over dose. Functions
raise ValueError with a sentence where the numbers cannot describe a brew.

Source of the immersion model: Liang, Chan, Ristenpart 2021, Scientific Reports 11:6904,
doi 10.1038/s41598-021-85787-1 (99 brews poured at 80-99 degC; holds for a ratio of 3 or more).
"""

from math import hypot

from app.brewing.ranged import Ranged

EQUILIBRIUM_EXTRACTION = 0.215
MODEL_MIN_RATIO = 3.0
MODEL_MIN_TEMP_C = 80.0
SOLUBLE = 0.30  # of the dose, from memory: more than this does not dissolve

# Grams held per gram of dose: usual, lowest, highest (about 95 % of brews).
# Immersion: Liang 2021, 2.48 with SD 0.19, drained through paper by gravity: the liquid held is as
# strong as the cup. Pressed: no published value, from memory, learned from weighed beverages.
# Cone and flat bed: water held, common practice, no source.
RETAINED_G_PER_G = {
    "pressed immersion": Ranged(2.0, 1.5, 2.5),
    "immersion": Ranged(2.48, 2.11, 2.85),
    "cone": Ranged(1.7, 1.5, 2.0),
    "flat bed": Ranged(1.7, 1.5, 2.0),
}
FORMULAS = {
    "pressed immersion": "immersion",
    "immersion": "immersion",
    "cone": "drip",
    "flat bed": "drip",
    "other": "none",
}

# One convention, not a law of taste: SCAA Golden Cup, 23 December 2015. In a study of 118 consumers
# its middle was not the best liked (Cotter et al. 2021, doi 10.1111/1750-3841.15561).
GOLDEN_CUP_TDS_PCT = (1.15, 1.35)
GOLDEN_CUP_EXTRACTION_PCT = (18.0, 22.0)

# Smallest difference in strength that tasters noticed, in points of TDS: Frost et al. 2019.
NOTICEABLE_TDS_PCT = 0.24

# TDS from a reading in °Brix: a convention. Sources have 0.825 to 0.90, so it is off by 3 to 5 %.
TDS_PER_BRIX = 0.85
BRIX_ERROR = 0.05

INSTRUMENT_TDS = 0.0003  # plus or minus 0.03 % TDS, the usual tolerance of a meter
Errors = tuple[float, float, float]  # of dose (g), of water or beverage (g), of strength
USUAL_ERRORS: Errors = (0.1, 1.0, INSTRUMENT_TDS)


def tds_pct_of_brix(brix: float) -> float:
    """Strength (% TDS) by convention from a reading in °Brix.

    >>> round(tds_pct_of_brix(1.5), 3)
    1.275
    """
    return TDS_PER_BRIX * brix


def strength_immersed(ratio: float, extraction: float = EQUILIBRIUM_EXTRACTION) -> float:
    """Strength in the brewer after an immersion: E / (R + E). Liang 2021.

    >>> round(strength_immersed(17.0, 0.2), 4)
    0.0116
    """
    return extraction / _positive("Ratio and extraction together", ratio + extraction)


def extraction_immersed(ratio: float, strength: float) -> float:
    """Extraction of an immersion brew from its strength: R t / (1 - t). Liang 2021."""
    _fraction("Strength", strength)
    return ratio * strength / (1.0 - strength)


def extraction_dripped(dose_g: float, beverage_g: float, strength: float) -> float:
    """Extraction of a drip brew: t B / D. For an immersion brew this is too low."""
    _fraction("Strength", strength)
    return strength * beverage_g / _positive("Dose", dose_g)


def extraction_error_dripped(
    dose_g: float, beverage_g: float, strength: float, errors: Errors = USUAL_ERRORS
) -> float:
    """Error of t B / D (a fraction) from independent ``errors`` of D (g), B (g) and t."""
    extraction = extraction_dripped(dose_g, beverage_g, strength)
    of_dose, of_beverage, of_strength = errors
    relative = (of_dose / dose_g, of_beverage / beverage_g, of_strength / strength)
    return extraction * hypot(*relative)


def extraction_error_immersed(
    dose_g: float, water_g: float, strength: float, errors: Errors = USUAL_ERRORS
) -> float:
    """Error of R t / (1 - t), a fraction, from independent ``errors`` of D (g), W (g) and t."""
    extraction = extraction_immersed(water_g / _positive("Dose", dose_g), strength)
    of_dose, of_water, of_strength = errors
    relative = (of_dose / dose_g, of_water / water_g, of_strength / (strength * (1.0 - strength)))
    return extraction * hypot(*relative)


def _positive(label: str, value: float) -> float:
    if not value > 0.0:
        raise ValueError(f"{label} must be more than nothing.")
    return value


def _fraction(label: str, value: float) -> None:
    if not 0.0 < value < 1.0:
        raise ValueError(f"{label} must lie between 0 and 100 %.")
