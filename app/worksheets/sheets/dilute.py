"""A whole brew from any three of its quantities, and water for a brew already made."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wtforms.validators import ValidationError

from app.brewing import bounds
from app.brewing.dilution import water_to_dilute
from app.brewing.plans.target import check_reached, solve_brew
from app.brewing.ranged import Ranged
from app.brewing.strength.estimate import Estimate, estimate_cup
from app.brewing.strength.retention import expected_retention
from app.brewing.strength.solve import QUANTITIES
from app.web.amount_fields import in_pct, only_one
from app.web.fields import NumberField
from app.worksheets import invented
from app.worksheets.forms import HowForm, beside
from app.worksheets.proposal import Proposal, propose_cup
from app.worksheets.start import FormData, SheetContext

UNITS = {
    "dose_g": "g", "water_g": "g", "added_g": "g", "beverage_g": "g", "ratio": "",
    "total_ratio": "", "strength_pct": "% TDS", "brewed_strength_pct": "% TDS",
}  # fmt: skip
SLACK_G = 0.05
ANY_BREW: FormData = {
    "dose_g": invented.TWO_DOSE_G, "water_g": invented.TWO_WATER_G, "added_g": invented.TWO_ADDED_G,
}  # fmt: skip


def _quantity(name: str) -> NumberField:
    label, limits = QUANTITIES[name]
    return NumberField(label, bounds=limits, unit=UNITS[name])


class DiluteForm(HowForm):
    """Three quantities of a brew; or what is already in the server, and how strong it should be."""

    dose_g = _quantity("dose_g")
    water_g = _quantity("water_g")
    added_g = _quantity("added_g")
    beverage_g = _quantity("beverage_g")
    ratio = _quantity("ratio")
    total_ratio = _quantity("total_ratio")
    strength_pct = _quantity("strength_pct")
    brewed_strength_pct = _quantity("brewed_strength_pct")
    strength_brix = NumberField("or of the cup in °Brix", bounds=bounds.BRIX, unit="°Brix")
    capacity_g = NumberField("The brewer holds", bounds=bounds.CAPACITY_G, unit="g")
    have_g = NumberField("Beverage there is", bounds=bounds.BEVERAGE_G, unit="g")
    have_pct = NumberField("Its strength", bounds=bounds.TDS_PCT, unit="% TDS")
    have_brix = NumberField("or read in °Brix", bounds=bounds.BRIX, unit="°Brix")
    want_pct = NumberField("Strength wanted", bounds=bounds.TDS_PCT, unit="% TDS")

    @classmethod
    def initial(cls, context: SheetContext) -> FormData:
        data, made = super().initial(context), context.start.made
        if made is None:
            return data | ANY_BREW
        return data | {"added_g": made.bypass_g + made.ice_g, "beverage_g": None}

    def known(self) -> dict[str, float]:
        """The quantities that are filled in; a strength in °Brix as % TDS."""
        values = {name: self[name].data for name in UNITS}
        values["strength_pct"] = in_pct(self.strength_pct, self.strength_brix)
        return {name: value for name, value in values.items() if value is not None}

    def validate_have_brix(self, field: NumberField) -> None:
        only_one(self.have_pct, field)

    def validate_strength_brix(self, field: NumberField) -> None:
        only_one(self.strength_pct, field)

    def validate_want_pct(self, field: NumberField) -> None:
        strength = in_pct(self.have_pct, self.have_brix)
        filled = [part is not None for part in (self.have_g.data, strength, field.data)]
        if any(filled) and not all(filled):
            raise ValidationError("All three are needed: how much, how strong, and what is wanted.")


@dataclass(frozen=True)
class Diluted:
    """`ranges` by quantity, those in `given` without one; `to_add_g` for the brew there is.

    `room_g` is what the brewer holds where the brew water is more than that.
    """

    given: Mapping[str, float]
    ranges: Mapping[str, Ranged]
    estimate: Estimate
    filled_brewer: bool
    room_g: float | None
    to_add_g: float | None
    proposals: Sequence[Proposal]


def diluted(form: DiluteForm, context: SheetContext) -> Diluted:
    brewer, known = form.chosen(context), form.known()
    fill = len(known) == 2 and "water_g" not in known and brewer.capacity_g is not None
    if fill:
        dose_g = known.get("dose_g")  # not known yet: what the brewer is said to hold
        known["water_g"] = (brewer.capacity_g if dose_g is None else brewer.room_g(dose_g)) or 0.0
    # Dose and water of it do not matter.
    like = form.cup(brewer.kind, invented.DOSE_G, invented.WATER_G)
    retention = expected_retention(brewer.kind, brewer.retained)
    with beside(form.water_temp_c):
        check_reached(like, brewer.calibration)
    solved = solve_brew(like, brewer.calibration, retention, **known)
    best = solved.amounts
    cup = form.cup(brewer.kind, best.dose_g, best.water_g, bypass_g=best.added_g)
    room_g = brewer.room_g(best.dose_g)
    return Diluted(
        known,
        solved.ranges,
        estimate_cup(cup, brewer.calibration, brewer.retained),
        fill,
        room_g if room_g is not None and best.water_g > room_g + SLACK_G else None,
        _to_add(form),
        [propose_cup(context.start, cup, brewer)],
    )


def _to_add(form: DiluteForm) -> float | None:
    strength_pct = in_pct(form.have_pct, form.have_brix)
    if form.have_g.data is None or strength_pct is None:
        return None
    with beside(form.want_pct):
        return water_to_dilute(strength_pct, form.have_g.data, form.want_pct.data)
