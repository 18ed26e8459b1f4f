"""10,000 fillings of a brewer shared out within a second, beside the same equations in plain numpy.

Each is one cup twice over from a brewer too small for it: the brew, the estimates of the single cup
and of the whole with their ranges, and the longer steep. numpy takes all of them as one array and
leaves the ranges out; both read the kinetics off a curve made before.
"""

from __future__ import annotations

import numpy as np

from app.brewing.plans.sharing import LONGEST_STEEP_S, Shared, share
from app.brewing.ranged import Ranged
from app.brewing.strength.cup import Cup
from app.brewing.strength.extraction import EQUILIBRIUM_EXTRACTION, RETAINED_G_PER_G
from app.brewing.strength.kinetics import fraction
from tests.benchmarks.result import Result, ms
from tests.benchmarks.timing import medians

SHARES, ROUNDS, CUPS = 10_000, 5, 2
MOST_S = 1.0
KIND, GRIND, CAPACITY_G = "pressed immersion", "medium", 240.0
HELD = RETAINED_G_PER_G[KIND][0]
AT_THE_END = EQUILIBRIUM_EXTRACTION
TIMES = np.linspace(0, LONGEST_STEEP_S, 9001)
REACHED = np.array([fraction(GRIND, at) for at in TIMES.tolist()])

Columns = tuple[np.ndarray, np.ndarray, np.ndarray]


def sharing() -> Result:
    rng = np.random.default_rng(7)
    cups = (
        rng.uniform(8, 16, SHARES),
        rng.uniform(150, 260, SHARES),
        rng.integers(30, 180, SHARES).astype(float),
    )
    _agree(cups)
    took = medians({"share": lambda: _by_share(*cups), "numpy": lambda: _by_numpy(*cups)}, ROUNDS)
    told = f"{ms(took['share'])} for {SHARES:,}, at most {ms(MOST_S)}; numpy {ms(took['numpy'])}"
    return Result(f"{SHARES:,} shares", 1.0, took["share"] / MOST_S, told)


def _by_share(dose: np.ndarray, water: np.ndarray, steep: np.ndarray) -> list[Shared]:
    rows = zip(dose.tolist(), water.tolist(), steep.tolist(), strict=True)
    return [
        share(Cup(KIND, d, w, steep_s=s, grind=GRIND, stirs=3), CUPS, CAPACITY_G)
        for d, w, s in rows
    ]


def _by_numpy(dose: np.ndarray, water: np.ndarray, steep: np.ndarray) -> tuple[np.ndarray, ...]:
    """Strength of one cup and of the whole, what each gets, and the steep for the first of them.

    With s the strength of the cup, t in the brewer and q the water added per gram of dose:
    t (R/(1 - t) - h) = s (R/(1 - t) - h + q), and E = R t/(1 - t).
    """
    extraction = AT_THE_END * np.interp(steep, TIMES, REACHED)
    single = extraction / (water / dose + extraction)
    whole_g, brewed_g = CUPS * water, np.minimum(CUPS * water, CAPACITY_G)
    ratio, added = brewed_g / (CUPS * dose), (whole_g - brewed_g) / (CUPS * dose)
    drained = ratio + extraction - HELD
    whole = extraction / (ratio + extraction) * drained / (drained + added)
    linear = ratio - HELD - single * (HELD - added)
    constant = single * (ratio - HELD + added)
    brewed = 2 * constant / (linear + np.sqrt(linear * linear + 4 * HELD * constant))
    needed = ratio * brewed / (1 - brewed) / AT_THE_END
    found = np.where(needed > REACHED[-1], np.nan, np.interp(needed, REACHED, TIMES))
    return 100 * single, 100 * whole, dose * drained, found


def _agree(cups: Columns) -> None:
    """Both ways come to the same cups, or the times mean nothing."""
    shared = _by_share(*cups)
    single, whole, each_g, steep = _by_numpy(*cups)
    np.testing.assert_allclose([_of(one.single.strength_pct) for one in shared], single, rtol=1e-4)
    np.testing.assert_allclose([_of(one.estimate.strength_pct) for one in shared], whole, rtol=1e-4)
    np.testing.assert_allclose([one.brewed_each_g for one in shared], each_g, rtol=1e-4)
    found = [np.nan if one.needed_s is None else one.needed_s for one in shared]
    np.testing.assert_allclose(found, steep, atol=0.2)


def _of(ranged: Ranged | None) -> float:
    return np.nan if ranged is None else ranged.value
