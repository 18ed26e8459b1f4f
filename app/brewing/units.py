"""Conversion of grams, millilitres and degrees, in which the journal stores, to other units.

Definitions: the international avoirdupois ounce (1959), US customary and imperial fluid ounces.
"""

from math import isfinite

# unit: (what it measures, size in the stored unit, zero in the stored unit)
UNITS: dict[str, tuple[str, float, float]] = {
    "g": ("mass", 1.0, 0.0),
    "oz": ("mass", 28.349523125, 0.0),
    "ml": ("volume", 1.0, 0.0),
    "US fl oz": ("volume", 29.5735295625, 0.0),
    "imperial fl oz": ("volume", 28.4130625, 0.0),
    "°C": ("temperature", 1.0, 0.0),
    "°F": ("temperature", 5.0 / 9.0, -160.0 / 9.0),
}


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """``value`` in another unit of the same quantity, both named as in ``UNITS``.

    Raises ValueError for an unknown unit, for units of two quantities (mass is not volume), and
    for a value that is not finite.

    >>> convert(59.0, "°F", "°C")
    15.0
    """
    if not isfinite(value):
        raise ValueError("Enter a number to convert.")
    for unit in (from_unit, to_unit):
        if unit not in UNITS:
            raise ValueError(f"Unit must be one of: {', '.join(UNITS)}.")
    kind, size, zero = UNITS[from_unit]
    other, other_size, other_zero = UNITS[to_unit]
    if kind != other:
        raise ValueError(f"{from_unit} measures {kind} and {to_unit} measures {other}.")
    return (value * size + zero - other_zero) / other_size
