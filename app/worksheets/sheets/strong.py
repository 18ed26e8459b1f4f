"""A full-water brew and a strong one made up with water, as the model has them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.brewing import bounds
from app.brewing.bounds import CUPS_SHARED
from app.brewing.plans.compare import BeanFacts, Expected, expect, notice, price_per_kg
from app.brewing.plans.scaling import brew_strong, scale
from app.brewing.ranged import Ranged
from app.brewing.strength.cup import Cup
from app.brewing.strength.difference import Known
from app.journal.bags import open_bags
from app.money import from_minor, to_minor
from app.web.fields import DurationField, NumberField, PickField
from app.worksheets import invented, queries
from app.worksheets.forms import ChosenBrewer, HowForm, refuse_no_cup
from app.worksheets.proposal import Proposal, propose_cup
from app.worksheets.queries import BagFacts
from app.worksheets.start import FormData, SheetContext

ROOM_SHARE = 0.56  # of all the water, where the brewer's capacity is not known: as invented


class StrongForm(HowForm):
    """Brew A pours all its water on the coffee; brew B is diluted. Both in the same brewer."""

    dose_g = NumberField(
        "Dose of A", bounds=bounds.DOSE_G, unit="g", required=True, default=invented.DOSE_G
    )
    water_g = NumberField(
        "Water of A", bounds=bounds.WATER_G, unit="g", required=True, default=invented.WATER_G
    )
    cups = NumberField("Cups from A", bounds=CUPS_SHARED, required=True, whole=True, default=1)
    dose_b_g = NumberField(
        "Dose of B", bounds=bounds.DOSE_G, unit="g", required=True, default=invented.TWO_DOSE_G
    )
    water_b_g = NumberField(
        "Brew water of B",
        bounds=bounds.WATER_G,
        unit="g",
        required=True,
        default=invented.TWO_WATER_G,
    )
    bypass_b_g = NumberField(
        "Bypass of B", bounds=bounds.BYPASS_G, unit="g", required=True, default=invented.TWO_ADDED_G
    )
    steep_b_s = DurationField("Steep of B", bounds=bounds.STEEP_S, default=invented.TWO_STEEP_S)
    cups_b = NumberField("Cups from B", bounds=CUPS_SHARED, required=True, whole=True, default=2)
    bag_id = PickField("Bag, for price and caffeine")

    @classmethod
    def initial(cls, context: SheetContext) -> FormData:
        """What it starts from is A; or B, where that is diluted already."""
        data, made = super().initial(context), context.start.made
        if made is None:
            return data
        plan = context.start.plan(made.dose_g, made.water_g, made.bypass_g, made.ice_g)
        if plan.bypass_g or plan.ice_g:
            return data | {
                "water_g": plan.total_g,
                "dose_b_g": made.dose_g,
                "water_b_g": made.water_g,
                "bypass_b_g": plan.total_g - made.water_g,
                "steep_b_s": made.steep_s,
                "cups_b": 1,
            }
        brewer = context.brewers.get(made.brewer_id or 0)
        room_g = (brewer.capacity_g if brewer else None) or ROOM_SHARE * 2 * plan.water_g
        strong = brew_strong(scale(plan, 2.0), room_g)
        return data | {
            "dose_b_g": strong.dose_g,
            "water_b_g": strong.water_g,
            "bypass_b_g": strong.bypass_g,
        }

    def fill_choices(self, context: SheetContext) -> None:
        super().fill_choices(context)
        noted = context.start.noted
        bags = open_bags(context.session, also=[noted.bag_id] if noted else [])
        self.bag_id.pick_from([(bag.id, bag.bean_name) for bag in bags], none="–")
        if self.bag_id.data is None and bags:
            self.bag_id.data = bags[0].id


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


def compared(form: StrongForm, context: SheetContext) -> Compared:
    brewer = form.chosen(context)
    full = form.cup(brewer.kind, form.dose_g.data, form.water_g.data)
    strong = replace(
        full,
        dose_g=form.dose_b_g.data,
        water_g=form.water_b_g.data,
        bypass_g=form.bypass_b_g.data,
        steep_s=form.steep_b_s.data,
    )
    bag = queries.bag_facts(context.session, form.bag_id.data) if form.bag_id.data else None
    currency = bag.currency if bag else context.house.currency
    a = _side(full, form.cups.data, bag, brewer, currency)
    b = _side(strong, form.cups_b.data, bag, brewer, currency)
    refuse_no_cup(form.water_g, a.expected.estimate)
    refuse_no_cup(form.water_b_g, b.expected.estimate)
    return Compared(
        a,
        b,
        notice(full, strong, Known(brewer.calibration, brewer.retained)),
        currency,
        bag.name if bag else "",
        [
            propose_cup(context.start, cup, brewer, bag_id=form.bag_id.data, label=letter)
            for cup, letter in ((full, "A"), (strong, "B"))
        ],
    )


def _side(cup: Cup, cups: int, bag: BagFacts | None, brewer: ChosenBrewer, currency: str) -> Side:
    beans = BeanFacts()
    if bag is not None:
        price = None if bag.price_minor is None else from_minor(bag.price_minor, currency)
        beans = BeanFacts(bag.robusta_pct, bag.decaf, price_per_kg(price, bag.net_g))
    expected = expect(cup, beans, brewer.calibration, brewer.retained)
    cost = None if expected.bean_cost is None else to_minor(expected.bean_cost / cups, currency)
    return Side(cup, expected, cup.dose_g / cups, expected.caffeine_mg.times(1.0 / cups), cost)
