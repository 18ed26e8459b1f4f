"""Water added to a finished beverage; melted ice counts as water.

Dissolved coffee is conserved: strength times mass stays the same. Strengths may be per cent or
fractions, both in the same unit. Functions raise ValueError with a sentence where there is no
answer.
"""


def strength_diluted(strength: float, beverage_g: float, added_g: float) -> float:
    """Strength of ``beverage_g`` after ``added_g`` of water: t B / (B + added).

    >>> strength_diluted(1.75, 132.0, 33.0)
    1.4
    """
    if beverage_g < 0.0 or added_g < 0.0 or beverage_g + added_g <= 0.0:
        raise ValueError("Beverage and added water cannot be negative or both nothing.")
    return strength * beverage_g / (beverage_g + added_g)


def water_to_dilute(strength: float, beverage_g: float, target_strength: float) -> float:
    """Water (g) that brings ``beverage_g`` from ``strength`` down to the target: B (t1/t2 - 1)."""
    if not 0.0 < target_strength <= strength:
        raise ValueError("Water only weakens: the target must be more than 0 and no stronger.")
    return beverage_g * (strength / target_strength - 1.0)
