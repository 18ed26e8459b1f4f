"""The brewer that a worksheet's form names, and what the journal has learned of it."""

from dataclasses import dataclass, replace

from app.brewing.plans.scaling import brew_water_that_fits
from app.brewing.strength.calibration import Calibration, Retained
from app.brewing.strength.extraction import FORMULAS
from app.worksheets.context import SheetContext
from app.worksheets.forms import BrewerForm, HowForm


@dataclass(frozen=True)
class ChosenBrewer:
    """A brewer of the household or a kind, and what the journal has learned of it."""

    kind: str
    brewer_id: int | None = None
    capacity_g: float | None = None
    capacity_dose_g: float | None = None
    calibration: Calibration | None = None
    retained: Retained | None = None

    @property
    def formula(self) -> str:
        return FORMULAS[self.kind]

    def room_g(self, dose_g: float) -> float | None:
        """Brew water it holds with this dose, if its capacity is known; none when that is full."""
        if self.capacity_g is None:
            return None
        try:
            return brew_water_that_fits(self.capacity_g, dose_g, self.capacity_dose_g)
        except ValueError:
            return 0.0


def chosen_brewer(form: BrewerForm, context: SheetContext) -> ChosenBrewer:
    """What is known of the brewer, and grinder, that a valid form names.

    A capacity typed into the form stands in for the brewer's own.
    """
    chosen = str(form.brewer.data)
    if chosen in FORMULAS:
        brewer = ChosenBrewer(chosen)
    else:
        row = context.brewers[int(chosen)]
        grinder_id = form.grinder_id.data if isinstance(form, HowForm) else None
        brewer = ChosenBrewer(
            row.kind,
            row.id,
            row.capacity_g,
            row.capacity_dose_g,
            context.learned.calibrations.get((row.id, grinder_id)),
            context.learned.retained.get(row.id),
        )
    typed = form["capacity_g"].data if "capacity_g" in form else None
    return brewer if typed is None else replace(brewer, capacity_g=typed, capacity_dose_g=None)
