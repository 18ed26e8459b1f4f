"""What to expect of a brew before making it, to compare two ways, such as strong and diluted."""

from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

from app.brewing.bounds import PRICE, require
from app.brewing.caffeine import ALL, caffeine_mg
from app.brewing.ranged import Ranged
from app.brewing.sentences import Amount, Sentence
from app.brewing.strength.calibration import Calibration
from app.brewing.strength.cup import Cup
from app.brewing.strength.difference import Known, difference
from app.brewing.strength.estimate import Estimate, estimate_cup
from app.brewing.strength.expected import reached_share
from app.brewing.strength.extraction import NOTICEABLE_TDS_PCT
from app.brewing.strength.finished import share_in_cup
from app.brewing.strength.retention import USUAL_EXTRACTION, Retained, expected_retention


@dataclass(frozen=True, slots=True)
class BeanFacts:
    """The beans: share of robusta (%), whether decaffeinated, and price per kg if known."""

    robusta_pct: float = 0.0
    decaf: bool = False
    price_per_kg: float | None = None


ARABICA = BeanFacts()


class Expected(NamedTuple):
    """What one brew should be, and what it takes: caffeine (mg), cost of its beans."""

    estimate: Estimate
    caffeine_mg: Ranged
    bean_cost: float | None


def price_per_kg(price: float | None, net_g: float | None) -> float | None:
    """Price of a kilogram from a bag's price and net weight (g); None where either is unknown."""
    return None if price is None or not net_g else 1000.0 * price / net_g


def expect(
    cup: Cup,
    beans: BeanFacts = ARABICA,
    calibration: Calibration | None = None,
    retained: Retained | None = None,
) -> Expected:
    """Estimate, caffeine and cost of one brew; ValueError for values outside their bounds."""
    estimate = estimate_cup(cup, calibration, retained)
    cost = None
    if beans.price_per_kg is not None:
        require("Price per kg", beans.price_per_kg, PRICE)
        cost = cup.dose_g / 1000.0 * beans.price_per_kg
    return Expected(estimate, _caffeine(cup, estimate, beans, retained), cost)


def notice(one: Cup, other: Cup, known: Known) -> str:
    """A sentence on whether tasters would notice the difference in strength of two cups from one
    brewer and grinder, of which ``known`` was learned. Frost et al. 2019."""
    apart = difference(one, other, known, known, alike=True).strength_pct
    if apart is None:
        return "The strength of one of the two is not known."
    by = abs(apart.value)
    amounts = Amount(by, "% TDS", 2, fixed=True), Amount(NOTICEABLE_TDS_PCT, digits=2)
    if by < NOTICEABLE_TDS_PCT:
        return Sentence("{} apart: less than the {} that tasters noticed (Frost 2019).", *amounts)
    least = apart.low if apart.value > 0.0 else -apart.high
    said = Sentence("{} apart: as much as tasters noticed ({}, Frost 2019).", *amounts)
    if least >= NOTICEABLE_TDS_PCT:
        return said
    if least > 0.0:
        less = Amount(least, digits=2, fixed=True)
        return Sentence(f"{said.template} It may be as little as {{}}.", *amounts, less)
    return Sentence(f"{said.template} What is not known of the two may outweigh it.", *amounts)


def _caffeine(cup: Cup, estimate: Estimate, beans: BeanFacts, retained: Retained | None) -> Ranged:
    """Caffeine (mg): all that dissolves, less what stays in the grounds with their liquid."""
    shares, reached = Ranged(1.0, 0.5, 1.0), ALL
    if estimate.formula != "none":
        usual, low, high = expected_retention(cup.kind, retained)
        by_retention = partial(share_in_cup, estimate.formula, estimate.ratio, USUAL_EXTRACTION)
        shares = Ranged(by_retention(usual), by_retention(high), by_retention(low))
        reached = reached_share(cup)
    return caffeine_mg(cup.dose_g, shares, beans.robusta_pct, beans.decaf, reached)
