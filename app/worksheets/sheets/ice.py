"""Ice in a hot brew: how cold, how strong, and what happens while the rest of it melts."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.brewing import bounds
from app.brewing.bounds import CUPS_SHARED, GLASS_G, ICE_C, LIQUID_C, ROOM_C
from app.brewing.heat.balance import Vessel, glassware
from app.brewing.heat.heating import drinking_caution
from app.brewing.heat.iced import ice_alone, ice_and_water
from app.brewing.heat.in_glass import InGlass, in_glass
from app.brewing.heat.warming import ASSUMPTIONS, DrinkState, warming_curve
from app.brewing.strength.estimate import Estimate, estimate_cup
from app.charts.curves import ice_time
from app.charts.figure import Figure
from app.web.amount_fields import MeasuredFields, PouredFields
from app.web.fields import NumberField
from app.web.formats import formats
from app.worksheets import invented
from app.worksheets.forms import HowForm, beside
from app.worksheets.proposal import Proposal, propose_cup
from app.worksheets.start import FormData, SheetContext

MINUTES = tuple(range(0, 61, 2))


class IceForm(PouredFields, MeasuredFields, HowForm):
    """The hot brew, the ice at hand or what it should do, and the glass. Weights are for all."""

    beverage_g = NumberField("Hot beverage, weighed", bounds=bounds.BEVERAGE_G, unit="g")
    tds_pct = NumberField("Its strength, measured", bounds=bounds.TDS_PCT, unit="% TDS")
    hot_c = NumberField("Beverage when the ice goes in", bounds=LIQUID_C, unit="°C", default=76.0)
    ice_g = NumberField("Ice at hand", bounds=bounds.ICE_G, unit="g", default=125.0)
    ice_c = NumberField("Freezer", bounds=ICE_C, unit="°C", default=-17.0)
    target_c = NumberField("Or: how cold", bounds=LIQUID_C, unit="°C", default=7.0)
    target_pct = NumberField("and how strong", bounds=bounds.TDS_PCT, unit="% TDS")
    water_c = NumberField("Cold water", bounds=LIQUID_C, unit="°C", default=13.0)
    cups = NumberField("Cups it is shared between", bounds=CUPS_SHARED, whole=True, default=1)
    glass_g = NumberField("Each glass weighs", bounds=GLASS_G, unit="g", default=0.0)
    glass_c = NumberField("and starts at", bounds=LIQUID_C, unit="°C", default=21.0)
    server_g = NumberField("The server weighs", bounds=GLASS_G, unit="g", default=0.0)
    server_c = NumberField("and the server starts at", bounds=LIQUID_C, unit="°C", default=57.0)
    room_c = NumberField("Room", bounds=ROOM_C, unit="°C", default=24.0)

    @classmethod
    def initial(cls, context: SheetContext) -> FormData:
        """What was weighed and measured of an iced brew is not of the hot one."""
        usual: FormData = {"dose_g": invented.ICED_DOSE_G, "water_g": invented.ICED_WATER_G}
        data = usual | super().initial(context)
        return data | ({"beverage_g": None, "tds_pct": None} if data.get("ice_g") else {})


NEEDED = ("hot_c", "ice_c", "water_c", "cups", "glass_g", "glass_c", "server_g", "server_c",
          "room_c")  # fmt: skip


@dataclass(frozen=True)
class Iced:
    """`each` is one of `cups` equal glasses, `ice_g` and `water_g` what goes into it.

    `asked` tells that the ice was worked out, not given.
    """

    hot: Estimate
    cups: int
    each: InGlass
    ice_g: float
    water_g: float
    asked: bool
    note: str | None
    curve: Sequence[DrinkState]
    proposals: Sequence[Proposal]
    assumptions: Sequence[str] = ASSUMPTIONS

    @property
    def caution(self) -> str | None:
        return drinking_caution(self.each.mixed.temp_c)

    @property
    def figure(self) -> Figure:
        write = formats()
        gone = next((m.minutes for m in self.curve if not m.ice_left_g), None)
        return ice_time(
            [m.minutes for m in self.curve],
            [m.strength for m in self.curve],
            [write.shown(m.temp_c, "°C") for m in self.curve],
            gone_after=gone if self.each.mixed.ice_left_g else None,
            degrees=write.unit("°C"),
        )


def iced(form: IceForm, context: SheetContext) -> Iced:
    _fill_in(form)
    brewer = form.chosen(context)
    poured = form.cup(brewer.kind, form.dose_g.data, form.water_g.data, form.bypass_g.data or 0.0)
    cup = replace(
        poured, beverage_g=form.beverage_g.data, tds_pct=form.measured_pct, brix=form.brix.data
    )
    hot = estimate_cup(cup, brewer.calibration, brewer.retained)
    if hot.strength_pct is None or hot.beverage_g is None:
        known = " ".join(map(formats().say, hot.notes))
        with beside(form.beverage_g if hot.strength_pct else form.tds_pct):
            raise ValueError(f"{known} Enter the hot beverage’s weight and its measured strength.")
    cups: int = form.cups.data
    hot_g = hot.beverage_g.value / cups
    vessel = glassware(
        (form.glass_g.data, form.glass_c.data), (form.server_g.data / cups, form.server_c.data)
    )
    ice_g, water_g, note = _added(form, hot_g, hot.strength_pct.value, vessel)
    ice, water = (ice_g, form.ice_c.data), (water_g, form.water_c.data)
    with beside(form.ice_g):
        each = in_glass(hot_g, form.hot_c.data, hot.strength_pct, ice, water, vessel)
    alone = glassware((form.glass_g.data, form.glass_c.data))
    curve = warming_curve(
        each.mixed, each.drink_g, each.drink_pct.value, MINUTES, form.room_c.data, vessel=alone
    )
    brewed = replace(cup, bypass_g=cup.bypass_g + cups * water_g, ice_g=cups * ice_g)
    proposal = propose_cup(context.start, brewed, brewer)
    asked = form.ice_g.data is None
    return Iced(hot, cups, each, ice_g, water_g, asked, note, curve, [proposal])


def _fill_in(form: IceForm) -> None:
    """What was left empty is taken as it usually is."""
    for name in NEEDED:
        field = form[name]
        if field.data is None:
            field.data = field.default


def _added(
    form: IceForm, hot_g: float, strength_pct: float, vessel: Vessel
) -> tuple[float, float, str | None]:
    """Ice and water (g) for one glass, and what cannot be had."""
    if form.ice_g.data is not None:
        return form.ice_g.data / form.cups.data, 0.0, None
    with beside(form.target_c):
        if form.target_c.data is None:
            raise ValueError("Say how much ice there is, or how cold the drink should be.")
        known = (hot_g, form.hot_c.data, strength_pct, form.target_c.data)
        added = ice_alone(*known, form.ice_c.data, vessel)
    if form.target_pct.data is not None:
        with beside(form.target_pct):
            added = ice_and_water(
                *known, form.target_pct.data, form.ice_c.data, vessel, form.water_c.data
            )
    return added.ice_g, added.water_g, added.note
