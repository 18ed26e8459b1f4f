"""A recipe scaled to another size, and the way out when the brewer is too small for it.

Everything weighed is multiplied; times and temperatures stay, which is common practice (no source)
and the first thing to doubt when a bed gets deeper.
"""

from dataclasses import dataclass, replace

from app.brewing import bounds
from app.brewing.bounds import require

WATER_STEPS = ("bloom", "pour")  # what goes onto the coffee; the rest goes into the beverage
# Room taken by a gram of coffee in water, from memory (grain density near 1.3 g/ml).
GROUNDS_ML_PER_G = 0.75


@dataclass(frozen=True)
class PlannedStep:
    """One step: ``grams`` of what it adds, or None; seconds stay as they are when scaled."""

    kind: str
    grams: float | None = None
    starts_s: int | None = None
    lasts_s: int | None = None
    note: str = ""


@dataclass(frozen=True)
class Plan:
    """The amounts of a recipe (g) with its steps."""

    dose_g: float
    water_g: float
    bypass_g: float = 0.0
    ice_g: float = 0.0
    steps: tuple[PlannedStep, ...] = ()

    @property
    def total_g(self) -> float:
        """All water and ice: what ends in the cups, but for what the grounds hold."""
        return self.water_g + self.bypass_g + self.ice_g

    @property
    def total_ratio(self) -> float:
        """All water and ice to dose."""
        return self.total_g / self.dose_g


def scale(plan: Plan, factor: float) -> Plan:
    """Every amount times ``factor`` (0.01 to 100).

    Raises ValueError when the factor or any scaled amount leaves its bounds.
    """
    require("Scale factor", factor, bounds.SCALE_FACTOR)
    scaled = Plan(
        plan.dose_g * factor,
        plan.water_g * factor,
        plan.bypass_g * factor,
        plan.ice_g * factor,
        tuple(_times(step, factor) for step in plan.steps),
    )
    require("Scaled dose", scaled.dose_g, bounds.DOSE_G, "g")
    require("Scaled brew water", scaled.water_g, bounds.WATER_G, "g")
    require("Scaled bypass water", scaled.bypass_g, bounds.BYPASS_G, "g")
    require("Scaled ice", scaled.ice_g, bounds.ICE_G, "g")
    return scaled


def factor_for_dose(plan: Plan, dose_g: float) -> float:
    """Factor that brings the plan to this dose."""
    require("Dose", dose_g, bounds.DOSE_G, "g")
    return dose_g / plan.dose_g


def factor_for_total(plan: Plan, total_g: float) -> float:
    """Factor that brings all water and ice together to ``total_g``."""
    require("Water and ice together", total_g, bounds.WATER_G, "g")
    return total_g / plan.total_g


def factor_for_cups(cups_now: float, cups_wanted: float) -> float:
    """Factor from one number of cups to another."""
    require("Cups now", cups_now, bounds.CUPS)
    require("Cups wanted", cups_wanted, bounds.CUPS)
    return cups_wanted / cups_now


def brew_water_that_fits(
    capacity_g: float, dose_g: float, capacity_dose_g: float | None = None
) -> float:
    """Brew water (g) a brewer holds with this dose, when it holds ``capacity_g`` with another.

    Each further gram of coffee takes 0.75 ml (from memory). Without ``capacity_dose_g`` the
    capacity is taken to hold for this dose. Raises ValueError outside ``bounds.CAPACITY_G`` or
    when no room is left.
    """
    require("Capacity", capacity_g, bounds.CAPACITY_G, "g")
    require("Dose", dose_g, bounds.DOSE_G, "g")
    more_g = 0.0 if capacity_dose_g is None else dose_g - capacity_dose_g
    room_g = capacity_g - GROUNDS_ML_PER_G * more_g
    if room_g < bounds.WATER_G[0]:
        raise ValueError("This dose leaves no room for water in the brewer.")
    return room_g


def brew_strong(plan: Plan, room_g: float) -> Plan:
    """The same dose and total water with no more brew water than fits; the rest is bypass.

    Poured steps shrink in proportion and a step "dilute" takes what they lose.
    """
    require("Room in the brewer", room_g, bounds.WATER_G, "g")
    moved_g = plan.water_g - room_g
    if moved_g <= 0.0:
        return plan
    share = room_g / plan.water_g
    steps = [_times(step, share) if step.kind in WATER_STEPS else step for step in plan.steps]
    if plan.steps:
        last = next((n for n, step in enumerate(steps) if step.kind == "dilute"), None)
        if last is None:
            steps.append(PlannedStep("dilute", moved_g))
        else:
            steps[last] = replace(steps[last], grams=(steps[last].grams or 0.0) + moved_g)
    return replace(plan, water_g=room_g, bypass_g=plan.bypass_g + moved_g, steps=tuple(steps))


def _times(step: PlannedStep, factor: float) -> PlannedStep:
    return step if step.grams is None else replace(step, grams=step.grams * factor)
