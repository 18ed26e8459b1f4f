"""A full-water brew and a strong one made up with water, as the model has them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from app.brewing import bounds
from app.brewing.bounds import CUPS_SHARED
from app.brewing.plans.compare import BeanFacts, Expected, expect, notice, price_per_kg
from app.brewing.plans.scaling import brew_strong, scale
from app.brewing.ranged import Ranged
from app.brewing.strength.cup import Cup
from app.journal.bags import open_bags
from app.money import from_minor, to_minor
from app.web.fields import DurationField, NumberField, PickField
from app.worksheets import queries
from app.worksheets.desk import Desk
from app.worksheets.forms import HowForm, optional
from app.worksheets.proposal import Proposal, propose
from app.worksheets.way import Way, way_of

ROOM_SHARE = 0.6  # of all the water, where the brewer's capacity is not known: 240 of 400 g


class StrongForm(HowForm):
    """Brew A pours all its water on the coffee; brew B is diluted. Both in the same brewer."""

    dose_g = NumberField("Dose of A", bounds=bounds.DOSE_G, unit="g", required=True, default=11.0)
    water_g = NumberField(
        "Water of A", bounds=bounds.WATER_G, unit="g", required=True, default=200.0
    )
    cups = NumberField("Cups from A", bounds=CUPS_SHARED, required=True, whole=True, default=1)
    dose_b_g = NumberField("Dose of B", bounds=bounds.DOSE_G, unit="g", required=True, default=22.0)
    water_b_g = NumberField(
        "Brew water of B", bounds=bounds.WATER_G, unit="g", required=True, default=240.0
    )
    bypass_b_g = NumberField(
        "Bypass of B", bounds=bounds.BYPASS_G, unit="g", required=True, default=160.0
    )
    steep_b_s = DurationField("Steep of B", bounds=bounds.STEEP_S, default=240)
    cups_b = NumberField("Cups from B", bounds=CUPS_SHARED, required=True, whole=True, default=2)
    bag_id = PickField("Bag, for price and caffeine")

    @classmethod
    def begin(cls, desk: Desk) -> dict[str, Any]:
        """What it starts from is A; or B, where that is diluted already."""
        values = super().begin(desk)
        start = desk.start.values
        if not start:
            return values
        amounts = [start[name] or 0.0 for name in ("dose_g", "water_g", "bypass_g", "ice_g")]
        plan = desk.start.plan(*amounts)
        if plan.bypass_g or plan.ice_g:
            return values | _as_b(plan.total_g, start)
        row = desk.brewers.get(start["brewer_id"])
        room_g = (row.capacity_g if row else None) or ROOM_SHARE * 2 * plan.water_g
        strong = brew_strong(scale(plan, 2.0), room_g)
        return values | {
            "dose_b_g": strong.dose_g,
            "water_b_g": strong.water_g,
            "bypass_b_g": strong.bypass_g,
        }

    def offer(self, desk: Desk) -> None:
        super().offer(desk)
        kept = desk.start.values.get("bag_id")
        bags = open_bags(desk.session, also=[kept] if kept else [])
        self.bag_id.choices = optional((bag.id, bag.bean_name) for bag in bags)
        if self.bag_id.data is None and bags:
            self.bag_id.data = bags[0].id


def _as_b(total_g: float, start: Any) -> dict[str, Any]:
    return {
        "water_g": total_g,
        "dose_b_g": start["dose_g"],
        "water_b_g": start["water_g"],
        "bypass_b_g": total_g - start["water_g"],
        "steep_b_s": start["steep_s"],
        "cups_b": 1,
    }


@dataclass(frozen=True)
class Side:
    """One of the two: what it should be, and what one of its cups takes; money in minor units."""

    cup: Cup
    expected: Expected
    dose_g: float
    caffeine_mg: Ranged
    cost: int | None


@dataclass(frozen=True)
class Compared:
    a: Side
    b: Side
    notice: str
    currency: str
    bean: str
    proposals: Sequence[Proposal]


def compared(form: StrongForm, desk: Desk) -> Compared:
    way = way_of(form, desk)
    full = form.cup(way.kind, form.dose_g.data, form.water_g.data)
    strong = replace(
        full,
        dose_g=form.dose_b_g.data,
        water_g=form.water_b_g.data,
        bypass_g=form.bypass_b_g.data,
        steep_s=form.steep_b_s.data,
    )
    bag = queries.bag_facts(desk.session, form.bag_id.data) if form.bag_id.data else None
    currency = bag.currency if bag else desk.house.currency
    a = _side(full, form.cups.data, bag, way, currency)
    b = _side(strong, form.cups_b.data, bag, way, currency)
    return Compared(
        a,
        b,
        notice(a.expected.estimate, b.expected.estimate),
        currency,
        bag.name if bag else "",
        [_proposal(form, desk, way, side, letter) for side, letter in ((a, "A"), (b, "B"))],
    )


def _side(cup: Cup, cups: int, bag: Any, way: Way, currency: str) -> Side:
    beans = BeanFacts()
    if bag is not None:
        price = None if bag.price_minor is None else from_minor(bag.price_minor, currency)
        beans = BeanFacts(bag.robusta_pct, bag.decaf, price_per_kg(price, bag.net_g))
    found = expect(cup, beans, way.calibration, way.retained)
    cost = None if found.bean_cost is None else to_minor(found.bean_cost / cups, currency)
    return Side(cup, found, cup.dose_g / cups, found.caffeine_mg.times(1.0 / cups), cost)


def _proposal(form: StrongForm, desk: Desk, way: Way, side: Side, letter: str) -> Proposal:
    cup = side.cup
    plan = desk.start.plan(cup.dose_g, cup.water_g, cup.bypass_g, 0.0)
    how = form.values() | {"steep_s": cup.steep_s}
    if form.bag_id.data is not None:
        how["bag_id"] = form.bag_id.data
    return propose(desk.start, plan, how, brewer_id=way.brewer_id, label=letter)
