"""Limits in amounts: days, degrees, times, grams."""

from app.brewing.tolerances import TOLERANCES
from app.brewing.within.dimension import Numbers
from app.brewing.within.facts import BrewFacts
from app.brewing.within.phrases import beyond, span
from app.brewing.within.words import days, degrees, mass, ratio, time

RANGE = "From the least to the greatest that was noted; two alone are named both."
BOILING, FREEZING = 98.0, 2.0


def _rest(brew: BrewFacts) -> float | None:
    """A rest below nothing is a mistyped date."""
    return brew.rest_days if brew.rest_days is not None and brew.rest_days >= 0 else None


REST = Numbers(
    name="days off roast",
    asked="days of rest",
    rule=f"Days since the roast, those in the freezer left out. {RANGE}",
    read=_rest,
    close=TOLERANCES["age_days"],
    say=span("{} off roast", days),
    sides=beyond(
        "{} coffee", "fresher", "older", least=1, figured="coffee {} off roast", write=days
    ),
)
TEMPERATURE = Numbers(
    name="water temperature",
    asked="water temperature",
    rule=RANGE,
    read=lambda brew: brew.water_temp_c,
    close=TOLERANCES["water_temp_c"],
    say=span("at {}", degrees),
    sides=beyond(
        "{} water",
        "cooler",
        "hotter",
        least=FREEZING,
        greatest=BOILING,
        figured="water {}",
        write=degrees,
    ),
)
STEEP = Numbers(
    name="time",
    asked="steep",
    rule=RANGE,
    read=lambda brew: brew.steep_s,
    close=TOLERANCES["steep_s"],
    say=span("for {}", time),
    sides=beyond("{} times", "shorter", "longer", least=0, figured="times {}", write=time),
)
RATIO = Numbers(
    name="ratio",
    rule=f"Brew water to coffee. {RANGE}",
    read=lambda brew: brew.water_g / brew.dose_g,
    close=0.5,
    say=span("at ratios of {}", ratio, one="at a ratio of {}", each="1 : {}"),
    sides=beyond("{} coffee to the water", "more", "less"),
)
CUP = Numbers(
    name="amount of water",
    rule=f"All the water of a cup, ice with it. {RANGE}",
    read=lambda brew: brew.cup_g,
    close=TOLERANCES["water_g"],
    say=span("with {} of water", mass),
    sides=beyond("{} cups", "smaller", "larger", figured="cups {}", write=mass),
)
