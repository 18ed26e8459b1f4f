"""Dose and water for a wanted strength and amount of beverage."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.brewing import bounds
from app.brewing.plans.target import Target, check_reached, hit
from app.brewing.strength.cup import Cup
from app.brewing.strength.estimate import estimate_cup
from app.models.recipes import RevisionValues
from app.web.fields import NumberField
from app.worksheets import invented
from app.worksheets.forms import MODELLED, HowForm, beside
from app.worksheets.proposal import Proposal, propose_cup
from app.worksheets.start import FormData, SheetContext


class StrengthForm(HowForm):
    """What the cup should be, and how it is brewed."""

    wanted_pct = NumberField(
        "Strength wanted", bounds=bounds.TDS_PCT, unit="% TDS", required=True, default=1.22
    )
    beverage_g = NumberField(
        "Beverage wanted", bounds=bounds.BEVERAGE_G, unit="g", required=True, default=285.0
    )
    bypass_g = NumberField("Bypass water in it", bounds=bounds.BYPASS_G, unit="g")
    ice_g = NumberField("Ice in it", bounds=bounds.ICE_G, unit="g")

    @classmethod
    def initial(cls, context: SheetContext) -> FormData:
        """From a recipe or brew: the cup that it makes."""
        data, made = super().initial(context), context.start.made
        data.pop("beverage_g", None)
        return data if made is None else data | _aim_of(made, context)


@dataclass(frozen=True)
class Aimed:
    """`room_g` is what the brewer holds where the water is more than that."""

    target: Target
    calibrated_on: int
    room_g: float | None
    proposals: Sequence[Proposal]


def _aim_of(made: RevisionValues, context: SheetContext) -> FormData:
    """Strength and beverage of what it starts from, where they can be estimated."""
    brewer_id = made.brewer_id or context.usual[0] or 0
    brewer, noted = context.brewers.get(brewer_id), context.start.noted
    cup = Cup(
        brewer.kind if brewer else MODELLED[0],
        made.dose_g, made.water_g, made.bypass_g, made.ice_g, made.water_temp_c, made.steep_s,
        made.press_s, made.grind, noted.beverage_g if noted else None,
        noted.tds_pct if noted else None,
    )  # fmt: skip
    learned, grinder_id = context.learned, noted.grinder_id if noted else None
    first_id = brewer.first_id if brewer else brewer_id
    calibration = learned.calibrations.get((first_id, grinder_id))
    estimate = estimate_cup(cup, calibration, learned.retained.get(first_id))
    if estimate.strength_pct is None or estimate.beverage_g is None:
        return {}
    return {
        "wanted_pct": round(estimate.strength_pct.value, 2),
        "beverage_g": round(estimate.beverage_g.value),
    }


def aimed(form: StrengthForm, context: SheetContext) -> Aimed:
    brewer = form.chosen(context)
    bypass_g, ice_g = form.bypass_g.data or 0.0, form.ice_g.data or 0.0
    amounts = (invented.DOSE_G, invented.WATER_G, bypass_g, ice_g)
    like = form.cup(brewer.kind, *amounts)
    with beside(form.water_temp_c):
        check_reached(like, brewer.calibration)
    with beside(form.wanted_pct):
        target = hit(
            form.wanted_pct.data, form.beverage_g.data, like, brewer.calibration, brewer.retained
        )
    cup = replace(like, dose_g=target.amounts.dose_g, water_g=target.amounts.water_g)
    room_g = brewer.room_g(cup.dose_g)
    return Aimed(
        target,
        brewer.calibration.n if brewer.calibration else 0,
        room_g if room_g is not None and cup.water_g > room_g else None,
        [propose_cup(context.start, cup, brewer)],
    )
