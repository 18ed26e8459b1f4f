"""Numbers that no brew can have, by the field that is to be corrected."""

from app.brewing.strength import notes
from app.brewing.strength.cup import Cup
from app.brewing.strength.estimate import estimate_cup


def impossible(cup: Cup) -> dict[str, str]:
    """A sentence for each field of ``cup`` that contradicts the others beyond doubt.

    A beverage heavier than all that went in, and more in the cup than the whole dose. Odd values
    that may be true are not refused: nothing is learned from them (see ``left_out``). Raises
    ValueError for values outside their bounds.

    >>> impossible(Cup("immersion", 15.0, 250.0, beverage_g=400.0))
    {'beverage_g': 'The beverage weighs more than everything poured: check the numbers.'}
    """
    found: dict[str, str] = {}
    if cup.beverage_g is not None and cup.beverage_g > cup.water_g + cup.added_g + cup.dose_g:
        found["beverage_g"] = notes.HEAVY_BEVERAGE
    if cup.tds_pct is not None and notes.IMPOSSIBLE in estimate_cup(cup).notes:
        found["tds_pct" if cup.brix is None else "brix"] = notes.IMPOSSIBLE
    return found
