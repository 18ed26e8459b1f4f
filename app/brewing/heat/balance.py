"""Heat: ice in a hot drink, energy of heating, density of water.

Temperatures in degC, masses in g, heat capacity of a vessel in J/K. Beverage counts as water.
The ice sums follow one balance of energy, measured from water at 0 degC, with nothing lost to the
room. Functions raise ValueError with a sentence outside their range.
"""

from dataclasses import dataclass

from app.brewing.bounds import require
from app.brewing.said import Amount, Said

WATER_J_PER_G_K = 4.19
ICE_J_PER_G_K = 2.05
MELTING_J_PER_G = 333.5  # IAPWS gives 333.4
KETTLE_EFFICIENCY = 0.85  # the user's to set; one published test found 0.81

LIQUID_C = (0.0, 100.0)
ICE_C = (-40.0, 0.0)
MASS_G = (0.0, 1e6)

SCALD_TEMP_C = 60.0
VERY_HOT_TEMP_C = 65.0  # IARC 2016: drinks hotter than this are "probably carcinogenic" (2A)


@dataclass(frozen=True)
class Vessel:
    """What else must change temperature: glass or server, its heat capacity and own start."""

    heat_j_per_k: float = 0.0
    temp_c: float = 20.0


@dataclass(frozen=True)
class Mixed:
    """A drink after ice: temperature, share of the ice that melted, water from it, ice left."""

    temp_c: float
    melted_share: float
    melted_g: float
    ice_left_g: float


NO_VESSEL = Vessel()


def mix_with_ice(
    liquid_g: float,
    liquid_c: float,
    ice_g: float,
    ice_c: float = -18.0,
    vessel: Vessel = NO_VESSEL,
) -> Mixed:
    """Where a drink with ice settles: all ice melted, or at 0 degC with some left.

    Raises ValueError outside the limits above, and when the ice is so cold and so much that the
    drink itself would freeze.
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

    Raises ValueError outside the limits above or when the target is warmer than the drink (and
    its vessel) would be without ice.
    """
    _check(liquid_g, liquid_c, 0.0, ice_c, vessel)
    require("Target temperature", target_c, LIQUID_C, "°C")
    surplus = liquid_g * WATER_J_PER_G_K * (liquid_c - target_c)
    surplus += vessel.heat_j_per_k * (vessel.temp_c - target_c)
    if surplus < 0.0:
        raise ValueError("Ice only cools: the target is warmer than the drink in its vessel.")
    return surplus / cold_in_ice(ice_c, target_c)


def cold_in_ice(ice_c: float, target_c: float) -> float:
    """Heat (J) that a gram of ice takes up on its way to water of ``target_c``."""
    return ICE_J_PER_G_K * -ice_c + MELTING_J_PER_G + WATER_J_PER_G_K * target_c


def heating_kwh(
    water_g: float, from_c: float, to_c: float, efficiency: float = KETTLE_EFFICIENCY
) -> float:
    """Electricity (kWh) to heat water. ``efficiency`` is the share that reaches the water."""
    require("Water", water_g, MASS_G, "g")
    require("Starting temperature", from_c, LIQUID_C, "°C")
    require("Final temperature", to_c, (from_c, LIQUID_C[1]), "°C")
    require("Efficiency", efficiency, (0.05, 1.0))
    return water_g / 1000.0 * 4.186 * (to_c - from_c) / 3600.0 / efficiency


def density_kg_m3(temp_c: float) -> float:
    """Density of water at one atmosphere, 0 to 100 degC: Kell 1975 (constants from memory)."""
    require("Water temperature", temp_c, LIQUID_C, "°C")
    t = temp_c
    top = 999.83952 + t * (
        16.945176
        + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12)))
    )
    return top / (1.0 + 16.879850e-3 * t)


def drinking_caution(temp_c: float) -> str | None:
    """A sentence of care for a drink this hot, or nothing."""
    if temp_c > VERY_HOT_TEMP_C:
        return Said(
            "Too hot to drink: liquid above {} burns within seconds, and drinking above {} is "
            "classed as probably harmful in the long run (IARC 2016).",
            Amount(SCALD_TEMP_C, "°C", 0),
            Amount(VERY_HOT_TEMP_C, "°C", 0),
        )
    if temp_c > SCALD_TEMP_C:
        return Said("Hot: liquid above {} burns within seconds.", Amount(SCALD_TEMP_C, "°C", 0))
    return None


def _check(liquid_g: float, liquid_c: float, ice_g: float, ice_c: float, vessel: Vessel) -> None:
    require("Drink", liquid_g, MASS_G, "g")
    require("Drink temperature", liquid_c, LIQUID_C, "°C")
    require("Ice", ice_g, MASS_G, "g")
    require("Ice temperature", ice_c, ICE_C, "°C")
    require("Heat capacity of the vessel", vessel.heat_j_per_k, (0.0, 1e6), "J/K")
    require("Temperature of the vessel", vessel.temp_c, LIQUID_C, "°C")


GLASS_J_PER_G_K = 0.84  # soda-lime glass near room temperature, from memory; stoneware is close


GLASS_G = (0.0, 5000.0)


def glassware(*pieces: tuple[float, float]) -> Vessel:
    """One vessel from pieces of glass, each (g, degC): heat capacities add up, heat is kept.

    Raises ValueError with a sentence for more than 5 kg or a temperature outside 0 to 100.
    """
    for mass_g, temp_c in pieces:
        require("Weight of the glass", mass_g, GLASS_G, "g")
        require("Temperature of the glass", temp_c, LIQUID_C, "°C")
    mass = sum(mass_g for mass_g, _ in pieces)
    if not mass:
        return Vessel()
    middle = sum(mass_g * temp_c for mass_g, temp_c in pieces) / mass
    return Vessel(mass * GLASS_J_PER_G_K, middle)
