"""Ice in a hot drink: one balance of energy, measured from water at 0 degC.

Temperatures are in degC, masses in g, the heat capacity of a vessel in J/K. The beverage counts as
water, and nothing is lost to the room. Functions raise ValueError with a sentence outside the
bounds of ``app.brewing.bounds``. Constants are checked against the libraries iapws and CoolProp.
"""

from dataclasses import dataclass

from app.brewing.bounds import GLASS_G, ICE_C, LIQUID_C, MASS_G, VESSEL_J_PER_K, require

WATER_J_PER_G_K = 4.19
ICE_J_PER_G_K = 2.05
MELTING_J_PER_G = 333.5  # IAPWS gives 333.4
GLASS_J_PER_G_K = 0.84  # soda-lime glass near room temperature, from memory; stoneware is close


@dataclass(frozen=True)
class Vessel:
    """The glass or server that changes temperature too: its heat capacity, and where it starts."""

    heat_j_per_k: float = 0.0
    temp_c: float = 20.0


@dataclass(frozen=True)
class Mixed:
    """A drink once its ice has stopped melting.

    ``melted_share`` (0 to 1) of the ice became ``melted_g`` of water; ``ice_left_g`` is the rest.
    """

    temp_c: float
    melted_share: float
    melted_g: float
    ice_left_g: float


NO_VESSEL = Vessel()


def mix_with_ice(
    liquid_g: float, liquid_c: float, ice_g: float, ice_c: float = -18.0, vessel: Vessel = NO_VESSEL
) -> Mixed:
    """Where a drink with ice settles: all ice melted, or at 0 degC with some left.

    Raises ValueError also for so much ice, so cold, that it would freeze the drink.

    >>> mixed = mix_with_ice(230.0, 75.0, 90.0)
    >>> round(mixed.temp_c, 1), mixed.melted_share
    (29.0, 1.0)
    """
    _check(liquid_g, liquid_c, ice_g, ice_c, vessel)
    heat = liquid_g * WATER_J_PER_G_K * liquid_c + vessel.heat_j_per_k * vessel.temp_c
    to_melting = ice_g * ICE_J_PER_G_K * -ice_c
    to_melt = ice_g * MELTING_J_PER_G
    left = heat - to_melting - to_melt
    if left >= 0.0:
        capacity = (liquid_g + ice_g) * WATER_J_PER_G_K + vessel.heat_j_per_k
        return Mixed(left / capacity if capacity else 0.0, 1.0, ice_g, 0.0)
    if heat < to_melting:
        raise ValueError("So much ice would freeze the drink: outside this model.")
    share = (heat - to_melting) / to_melt
    return Mixed(0.0, share, share * ice_g, (1.0 - share) * ice_g)


def ice_for_temperature(
    liquid_g: float,
    liquid_c: float,
    target_c: float,
    ice_c: float = -18.0,
    vessel: Vessel = NO_VESSEL,
) -> float:
    """Ice (g) that, wholly melted, brings the drink to ``target_c``.

    Raises ValueError also for a target warmer than drink and vessel would be without ice.
    """
    _check(liquid_g, liquid_c, 0.0, ice_c, vessel)
    require("Target temperature", target_c, LIQUID_C, "°C")
    surplus = liquid_g * WATER_J_PER_G_K * (liquid_c - target_c)
    surplus += vessel.heat_j_per_k * (vessel.temp_c - target_c)
    if surplus < 0.0:
        raise ValueError("Ice only cools: the target is warmer than the drink in its vessel.")
    return surplus / heat_per_gram(ice_c, target_c)


def heat_per_gram(ice_c: float, target_c: float) -> float:
    """Heat (J) that a gram of ice at ``ice_c`` takes up on its way to water of ``target_c``."""
    return ICE_J_PER_G_K * -ice_c + MELTING_J_PER_G + WATER_J_PER_G_K * target_c


def glassware(*pieces: tuple[float, float]) -> Vessel:
    """One vessel made of ``pieces`` of glass, each (g, degC): it starts at their mean temperature.

    Raises ValueError for a piece of more than 5 kg or outside 0 to 100 degC.
    """
    for mass_g, temp_c in pieces:
        require("Weight of the glass", mass_g, GLASS_G, "g")
        require("Temperature of the glass", temp_c, LIQUID_C, "°C")
    total_g = sum(mass_g for mass_g, _ in pieces)
    if not total_g:
        return Vessel()
    mean_c = sum(mass_g * temp_c for mass_g, temp_c in pieces) / total_g
    return Vessel(total_g * GLASS_J_PER_G_K, mean_c)


def _check(liquid_g: float, liquid_c: float, ice_g: float, ice_c: float, vessel: Vessel) -> None:
    require("Drink", liquid_g, MASS_G, "g")
    require("Drink temperature", liquid_c, LIQUID_C, "°C")
    require("Ice", ice_g, MASS_G, "g")
    require("Ice temperature", ice_c, ICE_C, "°C")
    require("Heat capacity of the vessel", vessel.heat_j_per_k, VESSEL_J_PER_K, "J/K")
    require("Temperature of the vessel", vessel.temp_c, LIQUID_C, "°C")
