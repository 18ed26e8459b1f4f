"""One glass of a hot beverage with ice and cold water: its temperature and strength."""

from dataclasses import dataclass

from app.brewing.bounds import LIQUID_C, MASS_G, require
from app.brewing.dilution import strength_diluted
from app.brewing.heat.balance import NO_VESSEL, WATER_J_PER_G_K, Mixed, Vessel, mix_with_ice
from app.brewing.ranged import Ranged


@dataclass(frozen=True, slots=True)
class InGlass:
    """A drink at three moments; strengths are in % TDS with their range.

    Before the ice goes in, beverage and cold water weigh ``drink_g`` at ``drink_pct``. Once drink
    and ice have settled as ``mixed``, it has ``strength_pct``, and when all the ice has melted
    ``melted_pct``.
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

    ``ice`` and ``water`` are (g, degC); nothing is lost to the room meanwhile. Raises ValueError
    with a sentence for a mass or temperature outside its bounds.
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
