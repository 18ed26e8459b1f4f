"""What steeping longer or shorter does at one grind."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from .bounds import STEEP_S
from .calibration import Calibration, Retained
from .checks import require
from .cup import Cup, Ranged
from .estimate import read_cup
from .extraction import FORMULAS


@dataclass(frozen=True, slots=True)
class SteepPoint:
    """Strength and extraction (%) after ``steep_s`` seconds, ``None`` where unknowable."""

    steep_s: float
    strength_pct: Ranged | None
    extraction_pct: Ranged | None


def steep_curve(
    cup: Cup,
    seconds: Sequence[float],
    calibration: Calibration | None = None,
    retained: Retained | None = None,
) -> list[SteepPoint]:
    """The same immersion brew at other steep times, estimated, with its band.

    Raises ValueError for a brew that does not steep and times outside ``bounds.STEEP_S``.
    """
    bare = _unmeasured(cup)
    points = []
    for steep_s in seconds:
        reading = read_cup(replace(bare, steep_s=steep_s), calibration, retained)
        points.append(SteepPoint(steep_s, reading.strength_pct, reading.extraction_pct))
    return points


def steep_for_strength(
    cup: Cup,
    wanted_pct: float,
    calibration: Calibration | None = None,
    retained: Retained | None = None,
    longest_s: float = 3600.0,
) -> float | None:
    """Shortest steep (s) whose estimated strength is ``wanted_pct``; None if never in that time.

    Raises ValueError for a brew that does not steep or values outside their bounds.
    """
    bare = _unmeasured(cup)
    require("Longest steep", longest_s, STEEP_S, "s")

    def reached(steep_s: float) -> float:
        strength = read_cup(replace(bare, steep_s=steep_s), calibration, retained).strength_pct
        return strength.value if strength is not None else 0.0

    low, high = 0.0, longest_s
    if reached(high) < wanted_pct:
        return None
    while high - low > 0.1:
        middle = (low + high) / 2
        low, high = (low, middle) if reached(middle) >= wanted_pct else (middle, high)
    return high


def _unmeasured(cup: Cup) -> Cup:
    if FORMULAS.get(cup.kind) != "immersion":
        raise ValueError("Only an immersion brew has a curve over its steep time.")
    return replace(cup, tds_pct=None, beverage_g=None)
