"""A recipe at another size, and brewed strong where the brewer is too small for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...brewing import bounds
from ...brewing.refit import weighable
from ...brewing.scaling import (
    Plan,
    brew_strong,
    factor_for_cups,
    factor_for_dose,
    factor_for_total,
    scale,
)
from ...fields import NumberField
from ..desk import BrewerForm, Desk, way_of
from ..proposal import Proposal, propose

CUPS = (0.1, 100.0)


class ScaleForm(BrewerForm):
    """A recipe as it is, and the size it should have: the first one filled in counts."""

    dose_g = NumberField("Dose", bounds=bounds.DOSE_G, unit="g", required=True, default=11.0)
    water_g = NumberField("Brew water", bounds=bounds.WATER_G, unit="g", required=True, default=200)
    bypass_g = NumberField("Bypass water", bounds=bounds.BYPASS_G, unit="g")
    ice_g = NumberField("Ice", bounds=bounds.ICE_G, unit="g")
    cups = NumberField("Cups it makes", bounds=CUPS, required=True, default=1.0)
    to_dose_g = NumberField("New dose", bounds=bounds.DOSE_G, unit="g")
    to_total_g = NumberField("New water and ice in all", bounds=bounds.WATER_G, unit="g")
    to_cups = NumberField("New number of cups", bounds=CUPS, default=2.0)
    capacity_g = NumberField("The brewer holds", bounds=bounds.CAPACITY_G, unit="g")


@dataclass(frozen=True)
class Scaled:
    """`room_g` is the brew water the brewer holds with this dose, if known; `strong` the way out
    where that is too little, and `no_room` says that there is none at all."""

    now: Plan
    new: Plan
    factor: float
    by: str
    room_g: float | None
    no_room: str
    strong: Plan | None
    proposals: Sequence[Proposal]


def scaled(form: ScaleForm, desk: Desk) -> Scaled:
    way = way_of(form, desk)
    amounts = (form.bypass_g.data or 0.0, form.ice_g.data or 0.0)
    now = desk.start.plan(form.dose_g.data, form.water_g.data, *amounts)
    by, factor = _factor(form, now)
    new = weighable(scale(now, factor))
    try:
        room_g, no_room = way.room_g(new.dose_g), ""
    except ValueError as trouble:
        room_g, no_room = None, str(trouble)
    proposals = [propose(desk.start, new, brewer_id=way.brewer_id)]
    strong = None
    if room_g is not None and new.water_g > room_g:
        strong = weighable(brew_strong(new, room_g))
        label = "strong and diluted"
        proposals.append(propose(desk.start, strong, brewer_id=way.brewer_id, label=label))
    return Scaled(now, new, factor, by, room_g, no_room, strong, proposals)


def _factor(form: ScaleForm, now: Plan) -> tuple[str, float]:
    if form.to_dose_g.data is not None:
        return "for the dose", factor_for_dose(now, form.to_dose_g.data)
    if form.to_total_g.data is not None:
        return "for the water and ice in all", factor_for_total(now, form.to_total_g.data)
    if form.to_cups.data is None:
        raise ValueError("Say how large it should be: a new dose, amount or number of cups.")
    return "for the number of cups", factor_for_cups(form.cups.data, form.to_cups.data)
