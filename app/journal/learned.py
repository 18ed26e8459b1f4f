"""What the journal has learned about a brewer: what its grounds hold, and how far measured
extraction lies from the estimate with each grinder."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log

from app.brewing.strength.calibration import NORMAL_95
from app.brewing.strength.extraction import RETAINED_G_PER_G
from app.journal.estimates import Learned

SOURCES = {
    "pressed immersion": "From memory; no published value was found.",
    "immersion": "Liang, Chan and Ristenpart 2021, drained through paper.",
    "cone": "Common practice, no source.",
    "flat bed": "Common practice, no source.",
}


@dataclass(frozen=True, slots=True)
class Held:
    """Grams the grounds hold a gram of dose, with the range of 95 % of brews.

    `n` is the number of weighed brews behind it; with none it is the usual value of the kind.
    """

    value: float
    low: float
    high: float
    n: int
    source: str


@dataclass(frozen=True, slots=True)
class Offset:
    """Measured extraction against the estimate, in per cent of the estimate.

    `low` and `high` span 95 % of next brews; `n` is the number of measured brews behind it.
    """

    grinder_id: int | None
    value: float
    low: float
    high: float
    n: int


def held_by(brewer_id: int, kind: str, known: Learned) -> Held | None:
    """None for a kind without a usual value."""
    if kind not in RETAINED_G_PER_G:
        return None
    learned = known.retained.get(brewer_id)
    if learned is None or not learned.n:
        return Held(*RETAINED_G_PER_G[kind], n=0, source=SOURCES[kind])
    spread = NORMAL_95 * learned.sd
    return Held(
        learned.value, max(0.0, learned.value - spread), learned.value + spread, learned.n, ""
    )


def offsets_of(brewer_id: int, known: Learned) -> list[Offset]:
    """One for each grinder with measured brews, best known first."""
    found = []
    for (of_brewer, grinder_id), learned in known.calibrations.items():
        if of_brewer == brewer_id and learned.n:
            middle, spread = log(learned.factor), NORMAL_95 * learned.sd
            ends = _per_cent(middle - spread), _per_cent(middle + spread)
            found.append(Offset(grinder_id, _per_cent(middle), *ends, learned.n))
    return sorted(found, key=lambda offset: -offset.n)


def _per_cent(log_factor: float) -> float:
    return 100.0 * (exp(log_factor) - 1.0)
