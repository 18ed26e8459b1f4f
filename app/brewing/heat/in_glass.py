"""One glass of a hot beverage with ice and cold water: where it settles, and how strong it is."""

from dataclasses import dataclass

from app.brewing.bounds import require
from app.brewing.dilution import strength_diluted
from app.brewing.heat.balance import (
    LIQUID_C,
    MASS_G,
    NO_VESSEL,
    WATER_J_PER_G_K,
    Mixed,
    Vessel,
    mix_with_ice,
)
from app.brewing.ranged import Ranged


@dataclass(frozen=True, slots=True)
class InGlass:
    """The drink once it has settled (``mixed``), its strength then, and when all ice is gone.

    ``drink_g`` is beverage and cold water before the ice, ``drink_pct`` how strong those are.
    """

    drink_g: float
    drink_pct: Ranged
    mixed: Mixed
    strength_pct: Ranged
    melted_pct: Ranged


def in_glass(
    beverage_g: float,
    hot_c: float,
    strength_pct: Ranged,
    ice: tuple[float, float],
    water: tuple[float, float] = (0.0, 20.0),
    vessel: Vessel = NO_VESSEL,
) -> InGlass:
    """``ice`` and ``water`` are (g, degC); nothing is lost to the room meanwhile.

    Raises ValueError with a sentence for weights or temperatures outside those of ``heat``.
    """
    (ice_g, ice_c), (water_g, water_c) = ice, water
    require("Cold water", water_g, MASS_G, "g")
    require("Cold water", water_c, LIQUID_C, "°C")
    require("Drink temperature", hot_c, LIQUID_C, "°C")
    drink_g = beverage_g + water_g
    heat_j_per_k = vessel.heat_j_per_k + water_g * WATER_J_PER_G_K
    if heat_j_per_k:
        middle = vessel.heat_j_per_k * vessel.temp_c + water_g * WATER_J_PER_G_K * water_c
        beside = Vessel(heat_j_per_k, middle / heat_j_per_k)
    else:
        beside = NO_VESSEL
    mixed = mix_with_ice(beverage_g, hot_c, ice_g, ice_c, beside)
    return InGlass(
        drink_g,
        _thinned(strength_pct, beverage_g, water_g),
        mixed,
        _thinned(strength_pct, beverage_g, water_g + mixed.melted_g),
        _thinned(strength_pct, beverage_g, water_g + ice_g),
    )


def _thinned(strength: Ranged, beverage_g: float, added_g: float) -> Ranged:
    return strength.times(strength_diluted(1.0, beverage_g, added_g))
