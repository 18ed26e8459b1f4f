"""10,000 solves of the dilution sums within a second, beside the same equations in plain numpy.

Half of them go from dose, beverage and strength, a straight line in ratio and added water; half
from dose, added water and strength, a quadratic. numpy takes each half as one array.
"""

from __future__ import annotations

import numpy as np

from app.brewing.strength.solve import WholeBrew, solve
from tests.benchmarks.result import Result, ms
from tests.benchmarks.timing import medians

SOLVES, ROUNDS = 10_000, 5
MOST_S = 1.0
EXTRACTION, HELD = 0.205, 1.9
SPARE = EXTRACTION - HELD


def solving() -> Result:
    rng = np.random.default_rng(7)
    half = SOLVES // 2
    dose = rng.uniform(10, 30, half)
    ratio, added = rng.uniform(8, 18, half), rng.uniform(0, 10, half)
    beverage = ratio + added + SPARE
    strength = 100 * EXTRACTION / (ratio + EXTRACTION) * (ratio + SPARE) / beverage
    given = (dose, beverage * dose, added * dose, strength)
    _agree(given, ratio)
    took = medians({"solve": lambda: _by_solve(*given), "numpy": lambda: _by_numpy(*given)}, ROUNDS)
    told = f"{ms(took['solve'])} for {SOLVES:,}, at most {ms(MOST_S)}; numpy {ms(took['numpy'])}"
    return Result(f"{SOLVES:,} solves", 1.0, took["solve"] / MOST_S, told)


def _by_solve(
    dose: np.ndarray, beverage: np.ndarray, added: np.ndarray, strength: np.ndarray
) -> list[WholeBrew]:
    rows = zip(dose.tolist(), beverage.tolist(), added.tolist(), strength.tolist(), strict=True)
    found = []
    for d, b, a, t in rows:
        found.append(solve("immersion", EXTRACTION, HELD, dose_g=d, beverage_g=b, strength_pct=t))
        found.append(solve("immersion", EXTRACTION, HELD, dose_g=d, added_g=a, strength_pct=t))
    return found


def _by_numpy(
    dose: np.ndarray, beverage: np.ndarray, added: np.ndarray, strength: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """The ratio from cup (R + q + s)(R + E) = E (R + s), with R + q + s or q known."""
    cup, total, q = strength / 100, beverage / dose, added / dose
    straight = EXTRACTION * (SPARE - cup * total) / (cup * total - EXTRACTION)
    first = cup * (q + SPARE + EXTRACTION) - EXTRACTION
    constant = EXTRACTION * (cup * (q + SPARE) - SPARE)
    return straight, (-first + np.sqrt(first * first - 4 * cup * constant)) / (2 * cup)


def _agree(given: tuple[np.ndarray, ...], ratio: np.ndarray) -> None:
    """Both ways give back what the numbers were made from, or the times mean nothing."""
    straight, curved = _by_numpy(*given)
    solved = _by_solve(*given)
    for found in (straight, [one.ratio for one in solved[::2]]):
        np.testing.assert_allclose(found, ratio, rtol=1e-9)
    np.testing.assert_allclose([one.ratio for one in solved[1::2]], curved, rtol=1e-9)
