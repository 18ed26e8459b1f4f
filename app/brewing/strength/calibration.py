"""Learning from the user's own brews: the extraction they get, and what their grounds retain.

Both are means of a normal distribution with a normal prior as wide as the published range, so that
one odd brew changes little and twenty outweigh the prior. The model is our own choice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, fsum, isfinite, log, sqrt

from app.brewing.strength.extraction import RETAINED_G_PER_G

PRIOR_SD = 0.06  # immersion: 1.96 of these span the published 0.19 to 0.24
DRIP_PRIOR_SD = 0.10  # drip: 1.96 of these span 16 to 24 %
USUAL_BREW_SD = 0.05  # SD from brew to brew to start from, weighted as two brews
RETAINED_FLOOR_G_PER_G = 0.05
NORMAL_95 = 1.96


@dataclass(frozen=True)
class Calibration:
    """Measured over estimated extraction: its best value and the SD of its log for the next brew.

    ``n`` is the number of measured brews behind it; with none the factor is 1.
    """

    factor: float
    sd: float
    n: int


@dataclass(frozen=True)
class Retained:
    """Learned grams held per gram of dose: best value, SD for the next brew, brews behind it."""

    value: float
    sd: float
    n: int


def learn(ratios: Sequence[float], prior_sd: float = PRIOR_SD, floor: float = 0.03) -> Calibration:
    """Calibration from ratios of measured to uncalibrated extraction, one for each measured brew.

    The log of the ratio has the prior N(0, ``prior_sd``); its SD from brew to brew is at least
    ``floor``. Raises ValueError for a ratio that is not a number above zero.

    >>> learn([]).factor
    1.0
    >>> round(learn([1.08, 1.05, 1.11]).factor, 3)
    1.069
    """
    if not all(isfinite(ratio) and ratio > 0.0 for ratio in ratios):
        raise ValueError("Every ratio of measured to estimated must be a number above zero.")
    mean, sd = _posterior([log(ratio) for ratio in ratios], (0.0, prior_sd), USUAL_BREW_SD, floor)
    return Calibration(exp(mean), sd, len(ratios))


def learn_retained(held_g_per_g: Sequence[float], kind: str) -> Retained:
    """Retention of one brewer from its weighed brews (see ``retention_from_weighed``), in g per g.

    The prior is the usual value and range of the kind of brewer. Raises ValueError for a kind
    without one or a value that is no number.
    """
    if kind not in RETAINED_G_PER_G:
        raise ValueError(f"No usual retention is known for a brewer of the kind “{kind}”.")
    if not all(map(isfinite, held_g_per_g)):
        raise ValueError("Every weighed retention must be a number.")
    usual, low, high = RETAINED_G_PER_G[kind]
    prior_sd = (high - low) / 2 / NORMAL_95
    mean, sd = _posterior(held_g_per_g, (usual, prior_sd), prior_sd / 2, RETAINED_FLOOR_G_PER_G)
    return Retained(mean, sd, len(held_g_per_g))


def retention_from_weighed(
    dose_g: float, water_g: float, beverage_g: float, extraction: float
) -> float:
    """Grams held per gram of dose, from a beverage weighed before anything was added to it.

    ``extraction`` is a fraction of the dose. Raises ValueError for a dose of zero or less.

    >>> round(retention_from_weighed(14.0, 230.0, 205.0, extraction=0.2), 2)
    1.99
    """
    if not dose_g > 0.0:
        raise ValueError("Dose must be more than nothing.")
    return (water_g - beverage_g) / dose_g + extraction


def _posterior(
    values: Sequence[float], prior: tuple[float, float], usual_sd: float, floor: float
) -> tuple[float, float]:
    """Mean and SD predicted for the next value; the SD starts from ``usual_sd``, weighted as 2."""
    middle, prior_sd = prior
    n = len(values)
    mean = fsum(values) / n if n else middle
    squares = fsum((value - mean) ** 2 for value in values)
    spread = max(floor**2, (2 * usual_sd**2 + squares) / (2 + max(0, n - 1)))
    precision = 1.0 / prior_sd**2 + n / spread
    best = (middle / prior_sd**2 + n * mean / spread) / precision
    return best, sqrt(1.0 / precision + spread)
