"""A recipe scaled to another size, and brewed strong where the brewer is too small for it.

Weights are multiplied; times and temperatures stay. That is common practice, no source, and the
first thing to doubt as the bed of coffee gets deeper.
"""

from dataclasses import dataclass, replace
from typing import Self

from app.brewing import bounds
from app.brewing.bounds import require

WATER_STEPS = ("bloom", "pour")  # onto the coffee; other steps add to the beverage
# Volume of a gram of coffee in water, from memory (grain density near 1.3 g/ml).
GROUNDS_ML_PER_G = 0.75


@dataclass(frozen=True)
class PlannedStep:
    """One step: the ``grams`` it adds, if any, and when it starts and how long it lasts (s)."""

    kind: str
    grams: float | None = None
    starts_s: int | None = None
    lasts_s: int | None = None
    note: str = ""

    def times(self, factor: float) -> Self:
        return self if self.grams is None else replace(self, grams=self.grams * factor)


@dataclass(frozen=True)
class Plan:
    """The amounts of a recipe (g) and its steps."""

    dose_g: float
    water_g: float
    bypass_g: float = 0.0
    ice_g: float = 0.0
    steps: tuple[PlannedStep, ...] = ()

    @property
    def total_g(self) -> float:
        """All water and ice (g)."""
        return self.water_g + self.bypass_g + self.ice_g

    @property
    def total_ratio(self) -> float:
        return self.total_g / self.dose_g


def scale(plan: Plan, factor: float) -> Plan:
    """``plan`` with every amount and step times ``factor`` (0.01 to 100).

    Raises ValueError where the factor or a scaled amount is outside its bounds.

    >>> scale(Plan(dose_g=12.0, water_g=190.0), 1.5).water_g
    285.0
    """
    require("Scale factor", factor, bounds.SCALE_FACTOR)
    scaled = Plan(
        plan.dose_g * factor,
        plan.water_g * factor,
        plan.bypass_g * factor,
        plan.ice_g * factor,
        tuple(step.times(factor) for step in plan.steps),
    )
    require("Scaled dose", scaled.dose_g, bounds.DOSE_G, "g")
    require("Scaled brew water", scaled.water_g, bounds.WATER_G, "g")
    require("Scaled bypass water", scaled.bypass_g, bounds.BYPASS_G, "g")
    require("Scaled ice", scaled.ice_g, bounds.ICE_G, "g")
    return scaled


def factor_for_dose(plan: Plan, dose_g: float) -> float:
    """Factor that scales ``plan`` to this dose (g)."""
    require("Dose", dose_g, bounds.DOSE_G, "g")
    return dose_g / plan.dose_g


def factor_for_total(plan: Plan, total_g: float) -> float:
    """Factor that scales all water and ice of ``plan`` together to ``total_g``."""
    require("Water and ice together", total_g, bounds.WATER_G, "g")
    return total_g / plan.total_g


def factor_for_cups(cups_now: float, cups_wanted: float) -> float:
    """Factor that scales a recipe for ``cups_now`` to ``cups_wanted``."""
    require("Cups now", cups_now, bounds.CUPS)
    require("Cups wanted", cups_wanted, bounds.CUPS)
    return cups_wanted / cups_now


def brew_water_that_fits(
    capacity_g: float, dose_g: float, capacity_dose_g: float | None = None
) -> float:
    """Brew water (g) that fits a brewer together with ``dose_g``.

    The brewer holds ``capacity_g`` of water with ``capacity_dose_g`` of coffee, or with this dose
    if that is None; each further gram of coffee takes the place of 0.75 g of water (from memory).
    Raises ValueError for values outside their bounds and where no room is left for water.
    """
    require("Capacity", capacity_g, bounds.CAPACITY_G, "g")
    require("Dose", dose_g, bounds.DOSE_G, "g")
    more_g = 0.0 if capacity_dose_g is None else dose_g - capacity_dose_g
    room_g = capacity_g - GROUNDS_ML_PER_G * more_g
    if room_g < bounds.WATER_G[0]:
        raise ValueError("This dose leaves no room for water in the brewer.")
    return room_g


def brew_strong(plan: Plan, room_g: float) -> Plan:
    """``plan`` with at most ``room_g`` of brew water, the rest of it moved to the bypass.

    Dose and total water stay. Blooms and pours shrink in proportion, and the first "dilute" step,
    or a new one at the end, takes what they lose. Raises ValueError for a room outside its bounds.
    """
    require("Room in the brewer", room_g, bounds.WATER_G, "g")
    moved_g = plan.water_g - room_g
    if moved_g <= 0.0:
        return plan
    share = room_g / plan.water_g
    steps = [step.times(share) if step.kind in WATER_STEPS else step for step in plan.steps]
    if plan.steps:
        last = next((n for n, step in enumerate(steps) if step.kind == "dilute"), None)
        if last is None:
            steps.append(PlannedStep("dilute", moved_g))
        else:
            steps[last] = replace(steps[last], grams=(steps[last].grams or 0.0) + moved_g)
    return replace(plan, water_g=room_g, bypass_g=plan.bypass_g + moved_g, steps=tuple(steps))
