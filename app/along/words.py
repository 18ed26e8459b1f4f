"""What the clock's page warns of."""

from collections.abc import Iterable

from app.models.recipes import Amounts

SCALDS_C = 50.0  # cooler water is not warned of
HOT = "Boiling water and steam scald. Pour slowly, and keep children away from the kettle."
FLIPPED = (
    "A flipped brewer can slip or come apart and spill near-boiling water: keep a firm base, never "
    "overfill, keep children away, and turn it over slowly and away from you."
)


def cautions(cups: Iterable[Amounts]) -> str:
    """What to be careful of with these cups; nothing where all is cold and upright."""
    made = list(cups)
    hot = any(cup.water_temp_c is None or cup.water_temp_c >= SCALDS_C for cup in made)
    flipped = any(cup.flipped for cup in made)
    return " ".join(text for text, said in ((HOT, hot), (FLIPPED, flipped)) if said)
