"""Iced coffee: how much ice and water bring a hot beverage to a temperature and a strength.

Temperatures are in degC, masses in g, strengths in % TDS; energy balance: see ``balance``.
"""

from dataclasses import dataclass

from app.brewing.bounds import DRINK_G, LIQUID_C, TDS_PCT, require
from app.brewing.dilution import strength_diluted, water_to_dilute
from app.brewing.heat.balance import (
    NO_VESSEL,
    WATER_J_PER_G_K,
    Vessel,
    heat_per_gram,
    ice_for_temperature,
    mix_with_ice,
)
from app.brewing.sentences import Amount, Sentence


@dataclass(frozen=True)
class IcedDrink:
    """Ice and water (g) to add, and the drink once the ice has melted.

    With ``needed_pct`` in the hot beverage, ice alone would reach both targets; ``note`` is a
    sentence on the target that is missed.
    """

    ice_g: float
    water_g: float
    temp_c: float
    strength_pct: float
    needed_pct: float
    note: str | None


def ice_alone(
    beverage_g: float,
    hot_c: float,
    strength_pct: float,
    target_c: float,
    ice_c: float = -18.0,
    vessel: Vessel = NO_VESSEL,
) -> IcedDrink:
    """Ice that cools ``beverage_g`` at ``hot_c`` to ``target_c``, whatever strength that leaves.

    Raises ValueError as ``balance.ice_for_temperature`` does, and outside the bounds.
    """
    require("Strength", strength_pct, TDS_PCT, "% TDS")
    require("Beverage", beverage_g, DRINK_G, "g")
    ice_g = ice_for_temperature(beverage_g, hot_c, target_c, ice_c, vessel)
    thinned = strength_diluted(strength_pct, beverage_g, ice_g)
    return IcedDrink(ice_g, 0.0, target_c, thinned, strength_pct, None)


def ice_and_water(
    beverage_g: float,
    hot_c: float,
    strength_pct: float,
    target_c: float,
    target_pct: float,
    ice_c: float = -18.0,
    vessel: Vessel = NO_VESSEL,
    water_c: float = 20.0,
) -> IcedDrink:
    """Ice, and water of ``water_c``, that bring a beverage to ``target_c`` and ``target_pct``.

    Where enough ice for the temperature would dilute too much, the strength is kept: all of the
    water goes in as ice, the drink stays warmer, and ``note`` says so. Raises ValueError for a
    target stronger than the beverage or warmer than the drink, and outside the bounds.
    """
    require("Target strength", target_pct, TDS_PCT, "% TDS")
    require("Water temperature", water_c, LIQUID_C, "°C")
    alone = ice_alone(beverage_g, hot_c, strength_pct, target_c, ice_c, vessel)
    added_g = water_to_dilute(strength_pct, beverage_g, target_pct)
    needed = target_pct * (beverage_g + alone.ice_g) / beverage_g
    if alone.ice_g > added_g:
        warmer = mix_with_ice(beverage_g, hot_c, added_g, ice_c, vessel).temp_c
        note = Sentence(
            "Ice enough for {} would thin it too much: with {} of ice it keeps its strength and "
            "comes to {}. For both, brew it at {}.",
            Amount(target_c, "°C", 0),
            Amount(added_g, "g", 0),
            Amount(warmer, "°C", 0),
            Amount(needed, "% TDS", 2, fixed=True),
        )
        return IcedDrink(added_g, 0.0, warmer, target_pct, needed, note)
    cooling, warming = heat_per_gram(ice_c, target_c), WATER_J_PER_G_K * (water_c - target_c)
    ice_g = (alone.ice_g * cooling + added_g * warming) / (cooling + warming)
    if ice_g < 0.0:
        raise ValueError("So much water is colder than the target by itself: ask for less.")
    return IcedDrink(ice_g, added_g - ice_g, target_c, target_pct, needed, None)
