"""What is known of a cup, and what can be read from it."""

from dataclasses import dataclass

from app.brewing import bounds
from app.brewing.bounds import require


@dataclass(frozen=True, slots=True)
class Cup:
    """One brew as poured. ``beverage_g`` and ``tds_pct`` are of the finished cup.

    Bypass and ice go into the finished beverage, after the coffee has left the grounds.
    """

    kind: str
    dose_g: float
    water_g: float
    bypass_g: float = 0
    ice_g: float = 0
    water_temp_c: float | None = None
    steep_s: float | None = None
    press_s: float | None = None
    grind: str = "medium"
    beverage_g: float | None = None
    tds_pct: float | None = None

    @property
    def added_g(self) -> float:
        """Water added to the beverage: bypass and ice."""
        return self.bypass_g + self.ice_g

    def per_dose(self) -> tuple[float, float, float | None]:
        """Brew water, added water and weighed beverage, each in grams per gram of dose."""
        weighed = None if self.beverage_g is None else self.beverage_g / self.dose_g
        return self.water_g / self.dose_g, self.added_g / self.dose_g, weighed


@dataclass(frozen=True, slots=True)
class Ranged:
    """A number with the lowest and highest it may well be."""

    value: float
    low: float
    high: float

    def triple(self) -> tuple[float, float, float]:
        """(value, low, high)."""
        return self.value, self.low, self.high

    def times(self, factor: float) -> "Ranged":
        """A part or a multiple of it; ``factor`` is zero or more."""
        return Ranged(self.value * factor, self.low * factor, self.high * factor)


@dataclass(frozen=True, slots=True)
class Reading:
    """A cup read: strength and beverage are of the finished cup, ``None`` where unknowable.

    ``ratio`` is brew water to dose, ``total_ratio`` all water and ice to dose, ``formula`` which
    sum gave the extraction, ``measured`` whether a measured strength did, and ``calibrated_on``
    how many of the user's measured brews moved the estimate.
    """

    ratio: float
    total_ratio: float
    grams_per_l: float
    strength_pct: Ranged | None
    extraction_pct: Ranged | None
    beverage_g: Ranged | None
    formula: str
    measured: bool
    calibrated_on: int
    notes: tuple[str, ...]


_BOUNDS = (
    ("dose_g", "Dose", bounds.DOSE_G, "g"),
    ("water_g", "Brew water", bounds.WATER_G, "g"),
    ("bypass_g", "Bypass water", bounds.BYPASS_G, "g"),
    ("ice_g", "Ice", bounds.ICE_G, "g"),
    ("water_temp_c", "Water temperature", bounds.WATER_TEMP_C, "°C"),
    ("steep_s", "Steep time", bounds.STEEP_S, "s"),
    ("press_s", "Press time", bounds.PRESS_S, "s"),
    ("beverage_g", "Beverage", bounds.BEVERAGE_G, "g"),
    ("tds_pct", "Strength", bounds.TDS_PCT, "% TDS"),
)


def check_cup(cup: Cup) -> None:
    """Raise ValueError with a sentence for a value outside its bounds or an unknown word."""
    if cup.kind not in bounds.BREWER_KINDS:
        raise ValueError(f"Brewer must be one of: {', '.join(bounds.BREWER_KINDS)}.")
    if cup.grind not in bounds.GRINDS:
        raise ValueError(f"Grind must be one of: {', '.join(bounds.GRINDS)}.")
    for name, label, limits, unit in _BOUNDS:
        value = getattr(cup, name)
        if value is not None:
            require(label, value, limits, unit)
