"""Several cups from one filling of a brewer: brew what fits, add the rest of the water, share."""

from dataclasses import dataclass, replace

from app.brewing import bounds
from app.brewing.bounds import require
from app.brewing.plans.scaling import brew_water_that_fits
from app.brewing.plans.steep import steep_for_strength
from app.brewing.strength.calibration import Calibration
from app.brewing.strength.cup import Cup
from app.brewing.strength.estimate import Estimate, estimate_cup
from app.brewing.strength.extraction import FORMULAS
from app.brewing.strength.retention import Retained

LONGEST_STEEP_S = 900.0
# People who double the dose steep it for about four minutes: common practice, no source.
USUAL_LONGEST_S = 240.0


@dataclass(frozen=True, slots=True)
class Shared:
    """One brew for several cups, its estimate, and the estimate of the cup brewed alone.

    Each cup gets ``brewed_each_g`` from the brewer (None where the beverage cannot be estimated)
    and ``water_each_g`` on top. ``needed_s`` is the steep that has the strength of the single cup
    by the sums, None if none within 15 minutes or none is asked for. ``steep_s`` is as much of it
    as people do, None where there is no steep to lengthen.
    """

    brew: Cup
    estimate: Estimate
    single: Estimate
    brewed_each_g: float | None
    water_each_g: float
    needed_s: float | None
    steep_s: float | None


def share(
    single: Cup,
    cups: int,
    capacity_g: float,
    capacity_dose_g: float | None = None,
    calibration: Calibration | None = None,
    retained: Retained | None = None,
) -> Shared:
    """``cups`` cups like ``single`` from one filling of a brewer.

    Dose and ice are multiplied by the number of cups, and so is the water: as much as fits is brew
    water, the rest is added to the beverage. ``capacity_g`` and ``capacity_dose_g`` are those of
    ``scaling.brew_water_that_fits``. Raises ValueError for less than 1 or more than 20 cups, and
    for a capacity or amounts outside their bounds.
    """
    require("Number of cups", cups, bounds.CUPS_SHARED)
    dose_g = cups * single.dose_g
    require("Dose for all cups", dose_g, bounds.DOSE_G, "g")
    wanted_g = cups * single.water_g
    water_g = min(wanted_g, brew_water_that_fits(capacity_g, dose_g, capacity_dose_g))
    bypass_g = cups * single.bypass_g + wanted_g - water_g
    bare = replace(single, beverage_g=None, tds_pct=None)
    ice_g = cups * single.ice_g
    brew = replace(bare, dose_g=dose_g, water_g=water_g, bypass_g=bypass_g, ice_g=ice_g)
    one = estimate_cup(bare, calibration, retained)
    whole = estimate_cup(brew, calibration, retained)
    needed_s = steep_s = None
    if FORMULAS[single.kind] == "immersion" and single.steep_s and one.strength_pct:
        needed_s = steep_for_strength(
            brew, one.strength_pct.value, calibration, retained, LONGEST_STEEP_S
        )
        longest_s = max(USUAL_LONGEST_S, single.steep_s)
        steep_s = longest_s if needed_s is None else min(needed_s, longest_s)
    made = whole.beverage_g
    brewed_each_g = None if made is None else (made.value - brew.added_g) / cups
    return Shared(brew, whole, one, brewed_each_g, bypass_g / cups, needed_s, steep_s)
