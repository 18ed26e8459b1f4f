"""Two ways of brewing set against each other before anyone brews, such as strong and diluted
against full water: what the model expects of each, per brew."""

from dataclasses import dataclass

from app.brewing.bounds import require
from app.brewing.caffeine import caffeine_mg
from app.brewing.said import Amount, Said
from app.brewing.strength.calibration import Calibration, Retained
from app.brewing.strength.cup import Cup, Ranged, Reading
from app.brewing.strength.estimate import read_cup
from app.brewing.strength.expected import expected_held
from app.brewing.strength.extraction import NOTICEABLE_TDS_PCT
from app.brewing.strength.finished import share_in_cup
from app.brewing.strength.kinetics import fraction_range


@dataclass(frozen=True, slots=True)
class BeanFacts:
    """The beans: share of robusta (%), decaffeinated or not, and price per kg if known."""

    robusta_pct: float = 0.0
    decaf: bool = False
    price_per_kg: float | None = None


@dataclass(frozen=True, slots=True)
class Expected:
    """What one brew should be, and what it takes: caffeine (mg), cost of its beans."""

    reading: Reading
    caffeine_mg: Ranged
    bean_cost: float | None
    bean_cost_per_100_g: float | None


ARABICA = BeanFacts()


def price_per_kg(price: float | None, net_g: float | None) -> float | None:
    """Price of a kilogram from the price of a bag and its net weight, where both are known."""
    return None if price is None or not net_g else 1000.0 * price / net_g


def expect(
    cup: Cup,
    beans: BeanFacts = ARABICA,
    calibration: Calibration | None = None,
    retained: Retained | None = None,
) -> Expected:
    """Reading, caffeine and cost of one brew; cost per 100 g of beverage where that is known.

    Raises ValueError for values outside their bounds.
    """
    reading = read_cup(cup, calibration, retained)
    cost = None
    if beans.price_per_kg is not None:
        require("Price per kg", beans.price_per_kg, (0.0, 1e9))
        cost = cup.dose_g / 1000.0 * beans.price_per_kg
    each = None if cost is None or reading.beverage_g is None else 100.0 * cost
    if each is not None and reading.beverage_g is not None:
        each /= reading.beverage_g.value
    return Expected(reading, _caffeine(cup, reading, beans, retained), cost, each)


def notice(one: Reading, other: Reading) -> str:
    """A sentence on whether the difference in strength would be noticed. Frost et al. 2019."""
    if one.strength_pct is None or other.strength_pct is None:
        return "The strength of one of the two is not known."
    apart = abs(one.strength_pct.value - other.strength_pct.value)
    amounts = Amount(apart, "% TDS", 2, fixed=True), Amount(NOTICEABLE_TDS_PCT, digits=2)
    if apart < NOTICEABLE_TDS_PCT:
        return Said("{} apart: less than the {} that tasters noticed (Frost 2019).", *amounts)
    measured = one.measured and other.measured
    overlap = (
        one.strength_pct.low <= other.strength_pct.high
        and other.strength_pct.low <= one.strength_pct.high
    )
    unsure = " The two ranges overlap, so it may be less." if overlap and not measured else ""
    return Said(f"{{}} apart: as much as tasters noticed ({{}}, Frost 2019).{unsure}", *amounts)


def _caffeine(cup: Cup, reading: Reading, beans: BeanFacts, retained: Retained | None) -> Ranged:
    """All that dissolves, less what stays in the grounds with their liquid."""
    shares, reached_low = (1.0, 0.5, 1.0), 1.0
    if reading.extraction_pct is not None:
        ratio, extraction = reading.ratio, reading.extraction_pct.value / 100.0
        usual, low, high = expected_held(cup.kind, retained)
        best, least, most = (
            share_in_cup(reading.formula, ratio, extraction, held) for held in (usual, high, low)
        )
        shares = (best, least, most)
    if reading.formula == "immersion" and cup.steep_s is not None:
        reached_low = fraction_range(cup.grind, cup.steep_s)[0]
    return caffeine_mg(cup.dose_g, shares, beans.robusta_pct, beans.decaf, reached_low)
