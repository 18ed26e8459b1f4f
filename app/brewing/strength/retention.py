"""What the grounds hold, learned from weighing alone.

A cup weighed before anything was added to it tells what stayed behind: r = (W - B)/D + E. The
extraction E need not be measured: it is near 0.20 of the dose, and its error of 0.03 is small
against what the grounds hold (our own rule, from the formulas of ``extraction``).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, hypot, isfinite, sqrt

from app.brewing.ranged import Ranged
from app.brewing.strength.extraction import RETAINED_G_PER_G
from app.brewing.strength.robust import NORMAL_95, PRIOR_WORTH, conflict, t_95, weights

USUAL_EXTRACTION, USUAL_EXTRACTION_SD = 0.20, 0.03
FLOOR_G_PER_G = 0.05


@dataclass(frozen=True)
class Retained:
    """Learned grams held per gram of dose: best value, SD for the next brew, brews behind it."""

    value: float
    sd: float
    n: int


def retention_from_weighed(
    dose_g: float, water_g: float, beverage_g: float, extraction: float = USUAL_EXTRACTION
) -> float:
    """Grams held per gram of dose, from a beverage weighed before anything was added to it.

    ``extraction`` is a fraction of the dose, without one the usual 0.20 (give or take 0.03).
    Raises ValueError for a dose of zero or less.

    >>> round(retention_from_weighed(14.0, 230.0, 205.0), 2)
    1.99
    """
    if not dose_g > 0.0:
        raise ValueError("Dose must be more than nothing.")
    return (water_g - beverage_g) / dose_g + extraction


def learn_retained(held_g_per_g: Sequence[float], kind: str) -> Retained:
    """Retention of one brewer from its weighed brews (see ``retention_from_weighed``), in g per g.

    The prior is the usual value and range of the kind of brewer; brews far from the others do not
    count (see ``robust``). Raises ValueError for a kind without one or a value that is no number.
    """
    if kind not in RETAINED_G_PER_G:
        raise ValueError(f"No usual retention is known for a brewer of the kind “{kind}”.")
    if not all(map(isfinite, held_g_per_g)):
        raise ValueError("Every weighed retention must be a number.")
    usual, low, high = RETAINED_G_PER_G[kind]
    prior_sd = (high - low) / 2 / NORMAL_95
    counts = weights(held_g_per_g, 2 * FLOOR_G_PER_G)
    n = fsum(counts)
    mean = fsum(c * held for c, held in zip(counts, held_g_per_g, strict=True)) / n if n else usual
    squares = fsum(c * (held - mean) ** 2 for c, held in zip(counts, held_g_per_g, strict=True))
    least = hypot(FLOOR_G_PER_G, USUAL_EXTRACTION_SD)
    spread = (2 * (prior_sd / 2) ** 2 + squares) / (2 + max(0.0, n - 1))
    spread = max(least**2, spread)
    precision = 1.0 / prior_sd**2 + n / spread
    best = (usual / prior_sd**2 + n * mean / spread) / precision
    missed = n * (mean - usual) ** 2 / (spread + n * prior_sd**2) + squares / spread
    sd = conflict(missed, n) * sqrt(1.0 / precision + spread)
    return Retained(best, sd, sum(count > 0.0 for count in counts))


def expected_retention(kind: str, retained: Retained | None = None) -> Ranged:
    """Grams of liquid that a gram of dose retains, with the range of about 95 % of brews.

    Raises ValueError for a kind of brewer without a model.
    """
    if kind not in RETAINED_G_PER_G:
        raise ValueError("There is no model for this kind of brewer.")
    if retained is None or not retained.n:
        return RETAINED_G_PER_G[kind]
    spread = t_95(PRIOR_WORTH + retained.n) * retained.sd
    return Ranged(retained.value, max(0.0, retained.value - spread), retained.value + spread)
