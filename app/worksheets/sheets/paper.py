"""New papers, reused ones, cloth and metal: what a month of each costs and uses up."""

from collections.abc import Sequence
from dataclasses import dataclass

from wtforms import HiddenField

from app.brewing.bounds import (
    BREWS_A_MONTH,
    FILTER_MASS_G,
    FILTER_USES,
    KETTLE_EFFICIENCY_PCT,
    LIQUID_C,
    PRICE,
    RINSE_G,
)
from app.brewing.footprint import FilterHabit, Month, month_of
from app.journal.packs import filter_price
from app.journal.uses import PAPER_CAUTION
from app.models import FilterPack
from app.money import to_minor
from app.web.fields import NumberField, number_or_none
from app.worksheets import queries
from app.worksheets.forms import SheetForm, beside
from app.worksheets.proposal import Proposal
from app.worksheets.start import FormData, SheetContext


class PaperForm(SheetForm):
    """What the household does; the starting values are invented, to be typed over."""

    brews = NumberField("Brews a month", bounds=BREWS_A_MONTH, required=True, default=47)
    paper_price = NumberField("A paper costs", bounds=PRICE, required=True, default=0.07)
    paper_mass_g = NumberField(
        "and weighs", bounds=FILTER_MASS_G, unit="g", required=True, default=0.31
    )
    new_rinse_g = NumberField(
        "Hot rinse of a new paper", bounds=RINSE_G, unit="g", required=True, default=0.0
    )
    uses = NumberField("A reused paper lasts, brews", bounds=FILTER_USES, required=True, default=3)
    reuse_rinse_g = NumberField(
        "Hot rinse of a reused paper", bounds=RINSE_G, unit="g", required=True, default=65.0
    )
    other_price = NumberField("Cloth or metal costs", bounds=PRICE, required=True, default=8.40)
    other_mass_g = NumberField(
        "and the cloth or metal weighs", bounds=FILTER_MASS_G, unit="g", required=True, default=6.2
    )
    other_uses = NumberField("and lasts, brews", bounds=FILTER_USES, required=True, default=450)
    other_rinse_g = NumberField(
        "Hot rinse of cloth or metal", bounds=RINSE_G, unit="g", required=True, default=85.0
    )
    rinse_c = NumberField("Rinsing water", bounds=LIQUID_C, unit="°C", required=True, default=87.0)
    cold_c = NumberField("From the tap", bounds=LIQUID_C, unit="°C", required=True, default=13.0)
    kwh_price = NumberField("A kWh costs", bounds=PRICE, required=True, default=0.27)
    efficiency_pct = NumberField(
        "Kettle efficiency", bounds=KETTLE_EFFICIENCY_PCT, unit="%", required=True
    )

    pack = HiddenField()

    @classmethod
    def initial(cls, context: SheetContext) -> FormData:
        """Price and weight of a pack's papers: of the one named, or that of the last brew."""
        values: FormData = {"efficiency_pct": context.house.kettle_efficiency_pct}
        pack = named_pack(context)
        if pack is not None:
            values["pack"] = str(pack.id)
            values["paper_price"] = round(filter_price(pack) or 0.0, 4)
            values |= {"paper_mass_g": pack.mass_g} if pack.mass_g is not None else {}
        return values

    def fill_choices(self, context: SheetContext) -> None:
        self.named, self.packs = named_pack(context), queries.packs(context.session)
        # All prices on the page are in one.
        self.currency = self.named.currency if self.named else context.house.currency
        for field in (self.paper_price, self.other_price, self.kwh_price):
            field.stored_unit = self.currency


def named_pack(context: SheetContext) -> FilterPack | None:
    pack_id = number_or_none(context.args.get("pack"))
    if pack_id:
        return context.session.get(FilterPack, pack_id)
    brew_id = context.start.query.get("brew")
    return queries.paper_pack_of(context.session, brew_id) if brew_id else None


@dataclass(frozen=True)
class Habit:
    """One way of filtering through a month; money in minor units."""

    name: str
    month: Month
    filter_cost: int
    energy_cost: int
    cost: int


@dataclass(frozen=True)
class Filtered:
    habits: Sequence[Habit]
    currency: str
    caution: str = PAPER_CAUTION
    proposals: Sequence[Proposal] = ()


def filtered(form: PaperForm, context: SheetContext) -> Filtered:
    paper = (form.paper_price.data, form.paper_mass_g.data)
    other = (form.other_price.data, form.other_mass_g.data)
    habits = (
        ("New", 1.0, paper, form.new_rinse_g.data),
        ("Reused", form.uses.data, paper, form.reuse_rinse_g.data),
        ("Lasting", form.other_uses.data, other, form.other_rinse_g.data),
    )
    months = []
    for name, uses, (price, mass_g), rinse_g in habits:
        habit = FilterHabit(uses, price, mass_g, rinse_g, form.cold_c.data, form.rinse_c.data)
        efficiency = form.efficiency_pct.data / 100.0
        with beside(form.rinse_c):
            month = month_of(habit, form.brews.data, form.kwh_price.data, efficiency)
        costs = (month.filter_cost, month.energy_cost, month.cost)
        months.append(Habit(name, month, *(to_minor(cost, form.currency) for cost in costs)))
    return Filtered(months, form.currency)
