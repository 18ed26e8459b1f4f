"""A lever as new amounts: what a brew's gear and the bounds allow, and what it should come to.

Strength is moved by the brew water, by 0.24 % TDS, the least difference that drinkers were found
to notice (Frost et al. 2019): with E of the dose extracted at strength t, the ratio R has to change
by E (1/t' - 1/t), by immersion (t = E / (R + E), Liang et al. 2021, doi 10.1038/s41598-021-85787-1)
and by drip alike; where water is added to the finished cup, that is what is changed. Extraction is
moved by the steep or by one step of the grind, whichever moves it more by the published kinetics
(Moroney et al. 2016), for drip by our own rule of `expected`; what moves it by less than half a
percent of the dose is not proposed.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf

from app.brewing import bounds
from app.brewing.changes.directions import Lever
from app.brewing.strength.cup import Cup
from app.brewing.strength.estimate import Estimate
from app.brewing.strength.expected import modelled_extraction
from app.brewing.strength.extraction import FORMULAS

NOTICED_PCT = 0.24
LEAST_GAIN = 0.005  # of the dose
LEAST_RATIO, MOST_RATIO = 8.0, 22.0  # beyond, nobody is sent: our own choice
LEAST_SHARE = 0.03  # of the ratio
SHORTEST_S, LONGEST_S = 30, 600
LONGER, STEP_S = 1.4, 5


@dataclass(frozen=True, slots=True)
class Gear:
    """What the brewer holds (brew water in g; None: not noted), and whether there is a grinder."""

    capacity_g: float | None
    grinder: bool


@dataclass(frozen=True, slots=True)
class Change:
    """One amount set anew; `was` and `becomes` are strength (% TDS) or extraction (%)."""

    name: str
    before: float | str
    after: float | str
    was: float
    becomes: float


def change(lever: Lever, cup: Cup, estimate: Estimate, gear: Gear) -> Change | None:
    """The change of one amount that a lever asks for; None where there is none to be made."""
    if lever in ("stronger", "weaker"):
        return _by_water(cup, estimate, gear, up=lever == "stronger")
    return _by_extraction(cup, gear, up=lever == "more extraction")


def _by_water(cup: Cup, estimate: Estimate, gear: Gear, *, up: bool) -> Change | None:
    """More or less brew water; less coffee instead where the brewer holds no more water."""
    if estimate.strength_pct is None or estimate.extraction_pct is None or cup.ice_g:
        return None
    was, of_dose = estimate.strength_pct.value, estimate.extraction_pct.value
    becomes = was + (NOTICED_PCT if up else -NOTICED_PCT)
    if becomes <= 0:
        return None
    if cup.bypass_g:
        return _by_bypass(cup, estimate, was, becomes)
    now = cup.water_g / cup.dose_g
    ratio = min(max(now + of_dose * (1 / becomes - 1 / was), LEAST_RATIO), MOST_RATIO)
    if (ratio < now) != up or abs(ratio / now - 1) < LEAST_SHARE:
        return None
    name, other = "water_g", replace(cup, water_g=float(round(ratio * cup.dose_g)))
    if other.water_g > min(bounds.WATER_G[1], gear.capacity_g or inf):
        name, other = "dose_g", replace(cup, dose_g=round(cup.water_g / ratio, 1))
    if not _within(other) or (other.water_g / other.dose_g < now) != up:
        return None
    becomes = 1 / (1 / was + (other.water_g / other.dose_g - now) / of_dose)
    return Change(name, getattr(cup, name), getattr(other, name), was, becomes)


def _within(cup: Cup) -> bool:
    (least_dose, _), (least_water, _) = bounds.DOSE_G, bounds.WATER_G
    return cup.dose_g >= least_dose and cup.water_g >= least_water


def _by_bypass(cup: Cup, estimate: Estimate, was: float, becomes: float) -> Change | None:
    """What dissolved stays, in more or less water: t B is the same before and after."""
    if estimate.beverage_g is None:
        return None
    beverage_g = estimate.beverage_g.value
    low, high = bounds.BYPASS_G
    wanted = cup.bypass_g + beverage_g * (was / becomes - 1)
    bypass_g = float(round(min(max(wanted, low), high)))
    more = bypass_g - cup.bypass_g
    if abs(more) < LEAST_SHARE * beverage_g or (more > 0) != (becomes < was):
        return None
    comes_to = was * beverage_g / (beverage_g + more)
    return Change("bypass_g", cup.bypass_g, bypass_g, was, comes_to)


def _by_extraction(cup: Cup, gear: Gear, *, up: bool) -> Change | None:
    if FORMULAS[cup.kind] == "none":
        return None
    was = modelled_extraction(cup)
    sign = 1 if up else -1
    gains = [
        (sign * (modelled_extraction(other) - was), name, other)
        for name, other in _others(cup, gear, up=up)
    ]
    gain, name, other = max(gains, key=lambda one: one[0], default=(0.0, "", cup))
    if gain < LEAST_GAIN:
        return None
    before, after = getattr(cup, name), getattr(other, name)
    return Change(name, before, after, 100 * was, 100 * modelled_extraction(other))


def _others(cup: Cup, gear: Gear, *, up: bool) -> Iterator[tuple[str, Cup]]:
    """The cup with another steep, and with the next grind."""
    if cup.steep_s and FORMULAS[cup.kind] == "immersion":
        seconds = cup.steep_s * LONGER if up else cup.steep_s / LONGER
        steep_s = STEP_S * round(min(max(seconds, SHORTEST_S), LONGEST_S) / STEP_S)
        if (steep_s > cup.steep_s) == up:
            yield "steep_s", replace(cup, steep_s=steep_s)
    if gear.grinder and cup.grind:
        place = bounds.GRINDS.index(cup.grind) + (-1 if up else 1)
        if 0 <= place < len(bounds.GRINDS):
            yield "grind", replace(cup, grind=bounds.GRINDS[place])
