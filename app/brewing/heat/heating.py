"""Heating water: energy, density, and when a drink is too hot. ValueError outside the bounds."""

from app.brewing.bounds import EFFICIENCY, LIQUID_C, MASS_G, require
from app.brewing.sentences import Amount, Sentence

WATER_KJ_PER_KG_K = 4.186
KETTLE_EFFICIENCY = 0.85  # for the user to change; one published test found 0.81

SCALD_TEMP_C = 60.0
VERY_HOT_TEMP_C = 65.0  # IARC 2016: drinks hotter than this are "probably carcinogenic" (2A)


def heating_kwh(
    water_g: float, from_c: float, to_c: float, efficiency: float = KETTLE_EFFICIENCY
) -> float:
    """Electricity (kWh) to heat ``water_g`` from ``from_c`` to ``to_c``.

    ``efficiency`` is the share (0.05 to 1) of the electricity that ends in the water.

    >>> round(heating_kwh(750.0, 15.0, 92.0), 3)
    0.079
    """
    require("Water", water_g, MASS_G, "g")
    require("Starting temperature", from_c, LIQUID_C, "°C")
    require("Final temperature", to_c, (from_c, LIQUID_C[1]), "°C")
    require("Efficiency", efficiency, EFFICIENCY)
    return water_g / 1000.0 * WATER_KJ_PER_KG_K * (to_c - from_c) / 3600.0 / efficiency


def density_kg_m3(temp_c: float) -> float:
    """Density (kg/m3) of water of 0 to 100 degC at one atmosphere.

    Kell 1975, Journal of Chemical and Engineering Data 20:97 (citation and constants from memory).
    """
    require("Water temperature", temp_c, LIQUID_C, "°C")
    t = temp_c
    upper = -7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12))
    return (999.83952 + t * (16.945176 + t * upper)) / (1.0 + 16.879850e-3 * t)


def drinking_caution(temp_c: float) -> str | None:
    """A warning for a drink hotter than 60 degC, else None."""
    if temp_c > VERY_HOT_TEMP_C:
        return Sentence(
            "Too hot to drink: liquid above {} burns within seconds, and drinking above {} is "
            "classed as probably harmful in the long run (IARC 2016).",
            Amount(SCALD_TEMP_C, "°C", 0),
            Amount(VERY_HOT_TEMP_C, "°C", 0),
        )
    if temp_c > SCALD_TEMP_C:
        return Sentence("Hot: liquid above {} burns within seconds.", Amount(SCALD_TEMP_C, "°C", 0))
    return None
