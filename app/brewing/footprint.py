"""What the filters of a month cost: money, grams thrown away, and electricity.

A filter of any material is bought once and used a number of times. Every value is for the user to
set. Only the filter and its rinsing water are counted: not its making, transport or washing, nor
the brew.
"""

from dataclasses import dataclass

from app.brewing.bounds import BREWS_A_MONTH, FILTER_MASS_G, FILTER_USES, PRICE, RINSE_G, require
from app.brewing.heat.heating import KETTLE_EFFICIENCY, heating_kwh


@dataclass(frozen=True)
class FilterHabit:
    """One way of filtering: a filter lasts for ``uses`` brews, rinsed with hot water at each.

    Prices may be in any one currency.
    """

    uses: float
    price: float
    mass_g: float
    rinse_g: float = 0.0
    rinse_from_c: float = 20.0
    rinse_to_c: float = 95.0


@dataclass(frozen=True)
class Month:
    """Filters used up in a month, their mass, electricity for rinsing, and what both cost."""

    filters: float
    mass_g: float
    kwh: float
    filter_cost: float
    energy_cost: float

    @property
    def cost(self) -> float:
        return self.filter_cost + self.energy_cost


def month_of(
    habit: FilterHabit,
    brews: float,
    price_per_kwh: float = 0.0,
    efficiency: float = KETTLE_EFFICIENCY,
) -> Month:
    """A month of ``brews`` with one habit; a filter not used up counts in part.

    ``efficiency``: share of the electricity that heats the water. ValueError outside the bounds.

    >>> month_of(FilterHabit(uses=4, price=0.06, mass_g=0.3), brews=40).filters
    10.0
    """
    require("Brews a month", brews, BREWS_A_MONTH)
    require("Uses of a filter", habit.uses, FILTER_USES)
    require("Price of a filter", habit.price, PRICE)
    require("Price of electricity", price_per_kwh, PRICE, "a kWh")
    require("Mass of a filter", habit.mass_g, FILTER_MASS_G, "g")
    require("Rinsing water", habit.rinse_g, RINSE_G, "g")
    filters = brews / habit.uses
    kwh = brews * heating_kwh(habit.rinse_g, habit.rinse_from_c, habit.rinse_to_c, efficiency)
    return Month(filters, filters * habit.mass_g, kwh, filters * habit.price, kwh * price_per_kwh)
