"""A recipe at another size, and brewed strong where the brewer is too small for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...brewing import bounds, notes
from ...brewing.extraction import MODEL_MIN_RATIO
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
from ..desk import Desk
from ..forms import AmountsForm, BrewerForm
from ..proposal import Proposal, propose
from ..way import way_of

CUPS = (0.1, 100.0)


class ScaleForm(AmountsForm, BrewerForm):
    """A recipe as it is, and the size it should have: the first one filled in counts."""

    cups = NumberField("Cups it makes", bounds=CUPS, required=True, default=1.0)
    to_dose_g = NumberField("New dose", bounds=bounds.DOSE_G, unit="g")
    to_total_g = NumberField("New water and ice in all", bounds=bounds.WATER_G, unit="g")
    to_cups = NumberField("New number of cups", bounds=CUPS, default=2.0)


@dataclass(frozen=True)
class Scaled:
    """`room_g` is the brew water the brewer holds with this dose, if known; `strong` the way out
    where that is too little but not nothing, and `doubt` what is odd about that."""

    now: Plan
    new: Plan
    factor: float
    by: str
    room_g: float | None
    strong: Plan | None
    proposals: Sequence[Proposal]
    doubt: str = ""


def scaled(form: ScaleForm, desk: Desk) -> Scaled:
    way = way_of(form, desk)
    now = desk.start.plan(form.dose_g.data, form.water_g.data, **form.added())
    by, factor = _factor(form, now)
    new = weighable(scale(now, factor))
    room_g = way.room_g(new.dose_g)
    if room_g is None or new.water_g <= room_g:
        whole = propose(desk.start, new, brewer_id=way.brewer_id)
        return Scaled(now, new, factor, by, room_g, None, [whole])
    whole = propose(desk.start, new, brewer_id=way.brewer_id, label="all at once, elsewhere")
    if room_g < bounds.WATER_G[0]:
        return Scaled(now, new, factor, by, room_g, None, [whole])
    strong = weighable(brew_strong(new, room_g))
    fitting = propose(desk.start, strong, brewer_id=way.brewer_id, label="strong and diluted")
    doubt = notes.LOW_RATIO if strong.water_g < MODEL_MIN_RATIO * strong.dose_g else ""
    return Scaled(now, new, factor, by, room_g, strong, [fitting, whole], doubt)


def _factor(form: ScaleForm, now: Plan) -> tuple[str, float]:
    if form.to_dose_g.data is not None:
        return "for the dose", factor_for_dose(now, form.to_dose_g.data)
    if form.to_total_g.data is not None:
        return "for the water and ice in all", factor_for_total(now, form.to_total_g.data)
    if form.to_cups.data is None:
        raise ValueError("Say how large it should be: a new dose, amount or number of cups.")
    return "for the number of cups", factor_for_cups(form.cups.data, form.to_cups.data)
