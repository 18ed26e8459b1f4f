"""Hardness in everybody's units, what a bottle's label says, and two waters mixed to a target."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wtforms.validators import ValidationError

from app.brewing import bounds
from app.brewing.water import (
    HARDNESS_UNITS,
    Mix,
    alkalinity_from_bicarbonate,
    convert_hardness,
    hardness_from_ions,
    mix_to_hardness,
)
from app.journal import gear
from app.web.fields import NumberField, PickField, WordField
from app.web.formats import formats
from app.worksheets.forms import SheetForm, beside
from app.worksheets.proposal import Proposal
from app.worksheets.start import SheetContext

HARDNESS, MG_L = bounds.HARDNESS_MG_L, "mg/L"
ALKALINITY = bounds.ALKALINITY_MG_L
MIXTURE_G = 1700.0  # a full kettle
WANTED_MG_L = 68.0  # to start from


class WaterForm(SheetForm):
    """Three sums, each answered once its numbers are there."""

    value = NumberField("Hardness or alkalinity", bounds=HARDNESS, default=12.0)
    unit = WordField("Unit", tuple(HARDNESS_UNITS), default="°dH")
    calcium_mg_l = NumberField("Calcium, Ca", bounds=HARDNESS, unit=MG_L)
    magnesium_mg_l = NumberField("Magnesium, Mg", bounds=HARDNESS, unit=MG_L)
    bicarbonate_mg_l = NumberField("Bicarbonate, HCO3", bounds=HARDNESS, unit=MG_L)
    first = PickField("First water")
    first_hardness = NumberField("Its hardness", bounds=HARDNESS, unit=MG_L, default=214.0)
    first_alkalinity = NumberField("Its alkalinity", bounds=ALKALINITY, unit=MG_L, default=176.0)
    second = PickField("Second water")
    second_hardness = NumberField("Its hardness", bounds=HARDNESS, unit=MG_L, default=17.0)
    second_alkalinity = NumberField("Its alkalinity", bounds=ALKALINITY, unit=MG_L, default=11.0)
    target = NumberField("Hardness wanted", bounds=HARDNESS, unit=MG_L, default=WANTED_MG_L)
    total_g = NumberField("Mixture wanted", bounds=bounds.WATER_G, unit="g", default=MIXTURE_G)

    def fill_choices(self, context: SheetContext) -> None:
        self.waters = {row.id: row for row in gear.waters(context.session)}
        listed = [(row.id, row.name) for row in self.waters.values()]
        self.first.choices = self.second.choices = [("", "as typed below"), *listed]
        noted = context.start.noted
        brewed = self.waters.get(noted.water_id or 0) if noted else None
        if brewed is not None:
            self.first.data = brewed.id
            self.target.data = round((brewed.hardness_mg_l + self.second_hardness.data) / 2)

    def validate_target(self, field: NumberField) -> None:
        pairs = [self.water("first"), self.water("second")]
        if field.data is not None and None not in pairs:
            low, high = sorted(hardness for hardness, _ in filter(None, pairs))
            if not low <= field.data <= high:
                ends = " to ".join(formats().number(end, 2) for end in (low, high))
                raise ValidationError(
                    f"No mixture has this: the two waters reach from {ends} mg/L."
                )

    def water(self, place: str) -> tuple[float, float] | None:
        """Hardness and alkalinity of the first or second water; None where they are not known."""
        row = self.waters.get(self[place].data)
        if row is not None:
            return row.hardness_mg_l, row.alkalinity_mg_l or 0.0
        hardness, alkalinity = (self[f"{place}_{name}"].data for name in ("hardness", "alkalinity"))
        return None if hardness is None else (hardness, alkalinity or 0.0)


@dataclass(frozen=True)
class WaterAnswer:
    """Each part is None until its numbers are there; `unknown` alkalinities count as nothing."""

    units: Mapping[str, float] | None
    label_hardness: float | None
    label_alkalinity: float | None
    mix: Mix | None
    grams: tuple[float, float] | None
    proposals: Sequence[Proposal] = ()


def watered(form: WaterForm, context: SheetContext) -> WaterAnswer:
    ions = (form.calcium_mg_l.data, form.magnesium_mg_l.data)
    bicarbonate = form.bicarbonate_mg_l.data
    mix = _mix(form)
    return WaterAnswer(
        _in_every_unit(form),
        None if ions == (None, None) else hardness_from_ions(*(ion or 0.0 for ion in ions)),
        None if bicarbonate is None else alkalinity_from_bicarbonate(bicarbonate),
        mix,
        None if mix is None else mix.parts(form.total_g.data or MIXTURE_G),
    )


def _in_every_unit(form: WaterForm) -> dict[str, float] | None:
    value = form.value.data
    if value is None:
        return None
    with beside(form.value):
        return {unit: convert_hardness(value, form.unit.data, unit) for unit in HARDNESS_UNITS}


def _mix(form: WaterForm) -> Mix | None:
    first, second = form.water("first"), form.water("second")
    if first is None or second is None or form.target.data is None:
        return None
    return mix_to_hardness(first, second, form.target.data)
