"""Dose and water for a wanted strength and amount of beverage."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from app.brewing import bounds
from app.brewing.plans.target import Target, hit
from app.brewing.strength.cup import Cup
from app.brewing.strength.estimate import estimate_cup
from app.web.fields import NumberField
from app.worksheets.desk import Desk
from app.worksheets.forms import MODELLED, HowForm, beside
from app.worksheets.proposal import Proposal, propose
from app.worksheets.way import way_of

CUP = ("dose_g", "water_g", "grind", "water_temp_c", "steep_s", "press_s", "beverage_g", "tds_pct")


class StrengthForm(HowForm):
    """What the cup should be, and how it is brewed."""

    wanted_pct = NumberField(
        "Strength wanted", bounds=bounds.TDS_PCT, unit="% TDS", required=True, default=1.2
    )
    beverage_g = NumberField(
        "Beverage wanted", bounds=bounds.BEVERAGE_G, unit="g", required=True, default=250.0
    )
    bypass_g = NumberField("Bypass water in it", bounds=bounds.BYPASS_G, unit="g")
    ice_g = NumberField("Ice in it", bounds=bounds.ICE_G, unit="g")

    @classmethod
    def begin(cls, desk: Desk) -> dict[str, Any]:
        """From a recipe or brew: the cup that it makes."""
        values = super().begin(desk)
        values.pop("beverage_g", None)
        return values | (_cup_of(desk.start.values, desk) if desk.start.values else {})


@dataclass(frozen=True)
class Aimed:
    """`room_g` is what the brewer holds where the water is more than that."""

    target: Target
    calibrated_on: int
    room_g: float | None
    proposals: Sequence[Proposal]


def _cup_of(values: Mapping[str, Any], desk: Desk) -> dict[str, float]:
    """Strength and beverage of what it starts from, where they can be told."""
    brewer_id = values.get("brewer_id") or desk.usual[0] or 0
    row = desk.brewers.get(brewer_id)
    known = {name: values.get(name) for name in CUP}
    added = {name: values.get(name) or 0.0 for name in ("bypass_g", "ice_g")}
    calibration = desk.learned.calibrations.get((brewer_id, values.get("grinder_id")))
    cup = Cup(row.kind if row else MODELLED[0], **(known | added))
    estimate = estimate_cup(cup, calibration, desk.learned.retained.get(brewer_id))
    if estimate.strength_pct is None or estimate.beverage_g is None:
        return {}
    return {
        "wanted_pct": round(estimate.strength_pct.value, 2),
        "beverage_g": round(estimate.beverage_g.value),
    }


def aimed(form: StrengthForm, desk: Desk) -> Aimed:
    way = way_of(form, desk)
    bypass_g, ice_g = form.bypass_g.data or 0.0, form.ice_g.data or 0.0
    like = form.cup(way.kind, 15.0, 250.0, bypass_g=bypass_g, ice_g=ice_g)
    with beside(form.wanted_pct):
        target = hit(
            form.wanted_pct.data, form.beverage_g.data, like, way.calibration, way.retained
        )
    plan = desk.start.plan(target.amounts.dose_g, target.amounts.water_g, bypass_g, ice_g)
    room_g = way.room_g(target.amounts.dose_g)
    return Aimed(
        target,
        way.calibration.n if way.calibration else 0,
        room_g if room_g is not None and target.amounts.water_g > room_g else None,
        [propose(desk.start, plan, form.values(), brewer_id=way.brewer_id)],
    )
