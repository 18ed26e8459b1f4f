"""What is known of a brewer and those alike to it, by the number of the first: how much its grounds
hold, and its extraction with each grinder."""

from dataclasses import dataclass
from math import exp

from app.brewing.strength.extraction import RETAINED_G_PER_G
from app.brewing.strength.retention import expected_retention
from app.journal.lessons import Learned

SOURCES = {
    "pressed immersion": "From memory; no published value was found.",
    "immersion": "Liang, Chan and Ristenpart 2021, drained through paper.",
    "cone": "Common practice, no source.",
    "flat bed": "Common practice, no source.",
}


@dataclass(frozen=True, slots=True)
class Retention:
    """Grams held per gram of dose, with the range of 95 % of brews.

    `n` is the number of weighed brews behind it; with none it is the usual value of the kind.
    """

    value: float
    low: float
    high: float
    n: int
    source: str


@dataclass(frozen=True, slots=True)
class Offset:
    """Measured extraction against the estimate, in per cent of it, for brews like the latest.

    `low` and `high` span 95 % of next brews like it; `n` is the number of measured brews behind it.
    """

    grinder_id: int | None
    value: float
    low: float
    high: float
    n: int


def retention_of(first_brewer_id: int, kind: str, known: Learned) -> Retention | None:
    """What the grounds hold in this brewer; None for a kind without a usual value."""
    if kind not in RETAINED_G_PER_G:
        return None
    learned = known.retained.get(first_brewer_id)
    n = 0 if learned is None else learned.n
    return Retention(*expected_retention(kind, learned), n, "" if n else SOURCES[kind])


def offsets_of(first_brewer_id: int, known: Learned) -> list[Offset]:
    """One for each grinder with measured brews, best known first."""
    found = []
    for (of_brewer, grinder_id), learned in known.calibrations.items():
        if of_brewer == first_brewer_id and learned.n:
            middle, down, up = learned.foretell(learned.latest)
            ends = _per_cent(middle - down), _per_cent(middle + up)
            found.append(Offset(grinder_id, _per_cent(middle), *ends, learned.n))
    return sorted(found, key=lambda offset: -offset.n)


def _per_cent(log_factor: float) -> float:
    return 100.0 * (exp(log_factor) - 1.0)
