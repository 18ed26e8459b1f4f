"""What a longer or shorter steep does at a grind, with the household's measured brews on top."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from app.brewing import bounds
from app.brewing.plans.compare import notice
from app.brewing.plans.steep import SteepPoint, steep_curve, steep_for_strength
from app.brewing.ranged import Ranged
from app.brewing.strength.cup import Cup
from app.brewing.strength.difference import Known
from app.brewing.strength.estimate import Estimate, estimate_cup
from app.charts.curves import steep_time
from app.charts.figure import Figure
from app.journal.estimates import estimate_of
from app.web.amount_fields import PouredFields
from app.web.fields import DurationField, NumberField
from app.web.formats import formats
from app.worksheets import invented, queries
from app.worksheets.forms import ChosenBrewer, HowForm, beside, refuse_no_cup
from app.worksheets.proposal import Proposal, propose_cup
from app.worksheets.start import FormData, SheetContext

POINTS = 40
LEAST_SHOWN_S, MOST_SHOWN_S = 300, 3600
STEEP = (1, MOST_SHOWN_S)
MINUTE_S = 60.0


class TimeForm(PouredFields, HowForm):
    """A steeped brew, and another time for it."""

    steep_s = DurationField("Steep", bounds=STEEP, required=True, default=invented.STEEP_S)
    other_s = DurationField("Or steep", bounds=STEEP, required=True, default=265)
    wanted_pct = NumberField("Strength wanted", bounds=bounds.TDS_PCT, unit="% TDS")

    @classmethod
    def initial(cls, context: SheetContext) -> FormData:
        """A recipe that says no steep gets the usual one."""
        usual: FormData = {"dose_g": invented.DOSE_G, "water_g": invented.WATER_G}
        data = usual | super().initial(context)
        return {name: value for name, value in data.items() if (name, value) != ("steep_s", None)}


@dataclass(frozen=True)
class MeasuredSteep:
    """A brew of the journal: its steep, and extraction (%) from a measured strength."""

    brewed_on: date
    steep_s: int
    extraction_pct: Ranged


@dataclass(frozen=True)
class Steeped:
    """`seconds` are the two steeps compared; `needed_s` the shortest for the wanted strength, None
    where none within the hour gives it or nothing is wanted."""

    seconds: tuple[int, int]
    now: Estimate
    other: Estimate
    notice: str
    curve: Sequence[SteepPoint]
    measured: Sequence[MeasuredSteep]
    wanted_pct: float | None
    needed_s: float | None
    proposals: Sequence[Proposal]

    @property
    def figure(self) -> Figure:
        known = [(p.steep_s, p.extraction_pct) for p in self.curve if p.extraction_pct is not None]
        return steep_time(
            [steep_s / MINUTE_S for steep_s, _ in known],
            [extraction for _, extraction in known],
            [(m.steep_s / MINUTE_S, m.extraction_pct) for m in self.measured],
            [(s / MINUTE_S, formats().clock(s)) for s in dict.fromkeys(self.seconds)],
        )


def steeped(form: TimeForm, context: SheetContext) -> Steeped:
    brewer = form.chosen(context)
    cup = form.cup(brewer.kind, form.dose_g.data, form.water_g.data, form.bypass_g.data or 0.0)
    learned = (brewer.calibration, brewer.retained)
    with beside(form.brewer):
        curve = steep_curve(cup, _seconds(cup, form.other_s.data), *learned)
    now, other = (
        estimate_cup(replace(cup, steep_s=steep_s), *learned)
        for steep_s in (cup.steep_s, form.other_s.data)
    )
    refuse_no_cup(form.water_g, now)
    wanted_pct = form.wanted_pct.data
    needed_s = None
    if wanted_pct is not None:
        needed_s = steep_for_strength(cup, wanted_pct, *learned, longest_s=MOST_SHOWN_S)
    return Steeped(
        (form.steep_s.data, form.other_s.data),
        now,
        other,
        notice(cup, replace(cup, steep_s=form.other_s.data), Known(*learned)),
        curve,
        _measured(form, context, brewer),
        wanted_pct,
        needed_s,
        [propose_cup(context.start, replace(cup, steep_s=form.other_s.data), brewer)],
    )


def _seconds(cup: Cup, other_s: int) -> list[int]:
    longest = min(MOST_SHOWN_S, max(LEAST_SHOWN_S, 1.5 * max(cup.steep_s or 0, other_s)))
    return sorted({round(longest * (n / POINTS) ** 2) for n in range(POINTS + 1)})


def _measured(form: TimeForm, context: SheetContext, brewer: ChosenBrewer) -> list[MeasuredSteep]:
    """Extraction does not depend on the ratio, so brews of any recipe are shown with the curve, but
    for those that nothing is learned from."""
    if brewer.brewer_id is None:
        return []
    measured = []
    for brew, row in queries.measured_at(context.session, brewer.brewer_id, form.grind.data):
        if row in context.learned.left_out:
            continue
        extraction = estimate_of(row, context.learned).extraction_pct
        if extraction is not None and row.steep_s is not None and row.steep_s <= MOST_SHOWN_S:
            measured.append(MeasuredSteep(brew.brewed_on, row.steep_s, extraction))
    return measured
