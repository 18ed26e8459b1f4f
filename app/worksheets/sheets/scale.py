"""A recipe at another size, and brewed strong where the brewer is too small for it."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.brewing import bounds
from app.brewing.heat.heating import density_kg_m3
from app.brewing.plans.refit import weighable
from app.brewing.plans.scaling import (
    Plan,
    brew_strong,
    factor_for_cups,
    factor_for_dose,
    factor_for_total,
    scale,
)
from app.brewing.strength import notes
from app.brewing.strength.extraction import MODEL_MIN_RATIO
from app.web.fields import NumberField
from app.worksheets.forms import AmountsForm, BrewerForm, beside
from app.worksheets.proposal import Proposal, propose
from app.worksheets.start import SheetContext

ML_G = density_kg_m3(20.0) / 1000.0


class ScaleForm(AmountsForm, BrewerForm):
    """A recipe as it is, and the size it should have: the first one filled in counts."""

    cups = NumberField("Cups it makes", bounds=bounds.CUPS, required=True, default=1.0)
    to_dose_g = NumberField("New dose", bounds=bounds.DOSE_G, unit="g")
    to_total_g = NumberField("New water and ice in all", bounds=bounds.WATER_G, unit="g")
    to_total_ml = NumberField("or that by volume", bounds=bounds.WATER_G, unit="ml")
    to_cups = NumberField("New number of cups", bounds=bounds.CUPS, default=2.0)


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


def scaled(form: ScaleForm, context: SheetContext) -> Scaled:
    brewer = form.chosen(context)
    now = context.start.plan(form.dose_g.data, form.water_g.data, *form.added())
    by, field = _size(form)
    with beside(field):
        new, factor = _sized(now, form, field)
    room_g = brewer.room_g(new.dose_g)
    if room_g is None or new.water_g <= room_g:
        whole = propose(context.start, new, brewer, {})
        return Scaled(now, new, factor, by, room_g, None, [whole])
    whole = propose(context.start, new, brewer, {}, "all at once, elsewhere")
    if room_g < bounds.WATER_G[0]:
        return Scaled(now, new, factor, by, room_g, None, [whole])
    strong = weighable(brew_strong(new, room_g))
    fitting = propose(context.start, strong, brewer, {}, "strong and diluted")
    doubt = notes.LOW_RATIO if strong.water_g < MODEL_MIN_RATIO * strong.dose_g else ""
    return Scaled(now, new, factor, by, room_g, strong, [fitting, whole], doubt)


def _size(form: ScaleForm) -> tuple[str, NumberField]:
    """The first size that is filled in, in words and its field; without one, the last."""
    sizes = (
        ("for the dose", form.to_dose_g),
        ("for the water and ice in all", form.to_total_g),
        ("for the volume", form.to_total_ml),
        ("for the number of cups", form.to_cups),
    )
    return next((size for size in sizes if size[1].data is not None), sizes[-1])


def _sized(now: Plan, form: ScaleForm, field: NumberField) -> tuple[Plan, float]:
    if field.data is None:
        raise ValueError("Say how large it should be: a new dose, amount or number of cups.")
    if field is form.to_dose_g:
        factor = factor_for_dose(now, field.data)
    elif field is form.to_cups:
        factor = factor_for_cups(form.cups.data, field.data)
    else:
        factor = factor_for_total(now, field.data * (ML_G if field is form.to_total_ml else 1.0))
    return weighable(scale(now, factor)), factor
