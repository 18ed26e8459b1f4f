"""One glass of a hot beverage with ice and cold water: its temperature and strength."""

from dataclasses import dataclass

from app.brewing.bounds import LIQUID_C, MASS_G, require
from app.brewing.dilution import strength_diluted
from app.brewing.heat.balance import NO_VESSEL, WATER_J_PER_G_K, Mixed, Vessel, mix_with_ice
from app.brewing.ranged import Ranged


@dataclass(frozen=True, slots=True)
class InGlass:
    """A drink before the ice goes in, once both have settled, and with all of the ice melted.

    Strengths are in % TDS with their range.
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
    """``beverage_g`` at ``hot_c`` and ``strength_pct`` (% TDS), poured on ice and cold water.

    ``ice`` and ``water`` are (g, degC). Raises ValueError outside the bounds.
    """
    (ice_g, ice_c), (water_g, water_c) = ice, water
    require("Cold water", water_g, MASS_G, "g")
    require("Cold water", water_c, LIQUID_C, "°C")
    require("Drink temperature", hot_c, LIQUID_C, "°C")
    drink_g = beverage_g + water_g
    heat_j_per_k, beside = vessel.heat_j_per_k + water_g * WATER_J_PER_G_K, NO_VESSEL
    if heat_j_per_k:
        middle = vessel.heat_j_per_k * vessel.temp_c + water_g * WATER_J_PER_G_K * water_c
        beside = Vessel(heat_j_per_k, middle / heat_j_per_k)
    mixed = mix_with_ice(beverage_g, hot_c, ice_g, ice_c, beside)
    before, settled, melted = (
        strength_pct.times(strength_diluted(1.0, beverage_g, added_g))
        for added_g in (water_g, water_g + mixed.melted_g, water_g + ice_g)
    )
    return InGlass(drink_g, before, mixed, settled, melted)
