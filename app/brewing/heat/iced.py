"""Iced coffee: ice and water that bring a hot beverage to a temperature and a strength at once."""

from dataclasses import dataclass

from app.brewing.bounds import require
from app.brewing.dilution import strength_diluted, water_to_dilute
from app.brewing.heat import balance as heat
from app.brewing.said import Amount, Said

STRENGTH_PCT = (0.01, 30.0)


@dataclass(frozen=True)
class IcedDrink:
    """Ice and water (g) to add, and what the drink comes to once all the ice has melted.

    ``needed_pct`` is the strength the hot beverage would need for both wishes to come true with
    ice alone; ``note`` says in a sentence what does not, if anything.
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
    vessel: heat.Vessel = heat.NO_VESSEL,
) -> IcedDrink:
    """Ice for a temperature; the strength is what it then is. Errors: see ``heat``."""
    require("Strength", strength_pct, STRENGTH_PCT, "% TDS")
    require("Beverage", beverage_g, (0.1, heat.MASS_G[1]), "g")
    ice_g = heat.ice_for_temperature(beverage_g, hot_c, target_c, ice_c, vessel)
    thinned = strength_diluted(strength_pct, beverage_g, ice_g)
    return IcedDrink(ice_g, 0.0, target_c, thinned, strength_pct, None)


def ice_and_water(
    beverage_g: float,
    hot_c: float,
    strength_pct: float,
    target_c: float,
    target_pct: float,
    ice_c: float = -18.0,
    vessel: heat.Vessel = heat.NO_VESSEL,
    water_c: float = 20.0,
) -> IcedDrink:
    """Ice and water of ``water_c`` for a temperature and a strength.

    The water that dilution asks for is split between ice and water by the balance of heat. When
    the ice alone would thin the drink too much, the strength is kept, all of the water goes in as
    ice, and the drink stays warmer: the note says so. Raises ValueError with a sentence for a
    target stronger than the beverage, warmer than the drink, or values outside their limits.
    """
    require("Target strength", target_pct, STRENGTH_PCT, "% TDS")
    require("Water temperature", water_c, heat.LIQUID_C, "°C")
    alone = ice_alone(beverage_g, hot_c, strength_pct, target_c, ice_c, vessel)
    added_g = water_to_dilute(strength_pct, beverage_g, target_pct)
    needed = target_pct * (beverage_g + alone.ice_g) / beverage_g
    if alone.ice_g > added_g:
        warmer = heat.mix_with_ice(beverage_g, hot_c, added_g, ice_c, vessel).temp_c
        note = Said(
            "Ice enough for {} would thin it too much: with {} of ice it keeps its strength and "
            "comes to {}. For both, brew it at {}.",
            Amount(target_c, "°C", 0),
            Amount(added_g, "g", 0),
            Amount(warmer, "°C", 0),
            Amount(needed, "% TDS", 2, fixed=True),
        )
        return IcedDrink(added_g, 0.0, warmer, target_pct, needed, note)
    cooling = heat.cold_in_ice(ice_c, target_c)
    surplus = alone.ice_g * cooling
    warming = heat.WATER_J_PER_G_K * (water_c - target_c)
    ice_g = (surplus + added_g * warming) / (cooling + warming)
    if ice_g < 0.0:
        raise ValueError("So much water is colder than the target by itself: ask for less.")
    return IcedDrink(ice_g, added_g - ice_g, target_c, target_pct, needed, None)
