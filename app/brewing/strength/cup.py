"""What is known of one brew before anything is estimated."""

from dataclasses import dataclass

from app.brewing import bounds
from app.brewing.bounds import require


@dataclass(frozen=True, slots=True)
class Cup:
    """One brew as poured; None, and an empty grind, mean not known.

    Bypass and ice go into the beverage after it has left the grounds; ``beverage_g`` (weighed) and
    ``tds_pct`` (measured) are of the finished cup, and the press follows the steep. ``brix`` is
    what the meter showed where ``tds_pct`` was worked out from °Brix.
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
    stirs: int | None = None
    brix: float | None = None

    @property
    def added_g(self) -> float:
        return self.bypass_g + self.ice_g

    def per_dose(self) -> tuple[float, float, float | None]:
        """Brew water, added water and weighed beverage, each in grams per gram of dose."""
        weighed = None if self.beverage_g is None else self.beverage_g / self.dose_g
        return self.water_g / self.dose_g, self.added_g / self.dose_g, weighed


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
    ("stirs", "Stirs", bounds.STIRS, ""),
    ("brix", "Strength", bounds.BRIX, "°Brix"),
)


def check_cup(cup: Cup) -> None:
    """Raise ValueError with a sentence for a value outside its bounds or an unknown word."""
    if cup.kind not in bounds.BREWER_KINDS:
        raise ValueError(f"Brewer must be one of: {', '.join(bounds.BREWER_KINDS)}.")
    if cup.grind not in bounds.GRINDS_OR_NONE:
        raise ValueError(f"Grind must be one of: {', '.join(bounds.GRINDS)}.")
    for name, label, limits, unit in _BOUNDS:
        value = getattr(cup, name)
        if value is not None:
            require(label, value, limits, unit)
