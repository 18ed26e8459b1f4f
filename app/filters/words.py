"""What to say about keeping or discarding a filter."""

from collections.abc import Sequence
from datetime import date

from app.brewing.heat.heating import heating_kwh
from app.journal.words import PAPER_CAUTION

RINSE_G, FROM_C, TO_C = 100.0, 20.0, 95.0
WASH = {
    "cloth": (
        "Wash it after each use, let it dry, and discard it when it smells or is spotted even "
        "then (common practice, no source)."
    ),
    "metal": "Wash it after each use, both sides, and let it dry (common practice, no source).",
}


def care(material: str, uses: int, last_on: date | None, today: date) -> Sequence[str]:
    """Sentences for a filter that is not retired; the general caution comes first."""
    if material != "paper":
        return (WASH[material],)
    if not uses:
        return (PAPER_CAUTION,)
    if last_on is None or last_on >= today:
        return (PAPER_CAUTION, "Used today: rinse it and let it dry through, or discard it.")
    days = (today - last_on).days
    lain = "since yesterday" if days == 1 else f"for {days} days"
    return (
        PAPER_CAUTION,
        f"This one has lain {lain}. Is it still damp, does it smell, is it spotted? Discard it.",
    )


def hot_rinse_kwh() -> float:
    """Electricity to heat 100 g of rinsing water from 20 to 95 °C."""
    return heating_kwh(RINSE_G, FROM_C, TO_C)
