"""Glasses and servers as heat that a drink has to cool or warm along with itself."""

from .checks import require
from .heat import LIQUID_C, Vessel

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
