"""One filling of a brewer for several cups: brew what fits, add the rest, share it out."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.brewing.bounds import CUPS_SHARED
from app.brewing.plans import sharing
from app.brewing.plans.compare import notice
from app.brewing.plans.sharing import Shared
from app.brewing.strength.difference import Known
from app.brewing.strength.estimate import Estimate, estimate_cup
from app.web.fields import NumberField
from app.worksheets import invented
from app.worksheets.forms import MODELLED, AmountsForm, HowForm, beside, refuse_no_cup
from app.worksheets.proposal import Proposal, propose_cup
from app.worksheets.start import FormData, SheetContext

STEEP_STEP_S = 5  # nobody times a steep closer
LEAST_SAID_PCT = 0.005  # what two decimals show


class ShareForm(AmountsForm, HowForm):
    """One cup as it is brewed alone, and how many are wanted."""

    cups = NumberField("Cups wanted", bounds=CUPS_SHARED, required=True, whole=True, default=2)

    @classmethod
    def initial(cls, context: SheetContext) -> FormData:
        """Any brewer of a kind holds an invented amount; one of the household's its own."""
        data = super().initial(context)
        anybodys = data["brewer"] in MODELLED
        return data | ({"capacity_g": invented.TWO_WATER_G} if anybodys else {})


@dataclass(frozen=True)
class SharedOut:
    """`steep_s` is the longer steep to use, None where there is none to lengthen, and `steeped` the
    estimate with it; `weaker_pct` how much weaker (points of TDS) the cup then is than the single
    one, None where it is not."""

    cups: int
    shared: Shared
    steep_s: int | None
    steeped: Estimate
    weaker_pct: float | None
    notice: str
    proposals: Sequence[Proposal]


def shared_out(form: ShareForm, context: SheetContext) -> SharedOut:
    brewer = form.chosen(context)
    with beside(form.capacity_g):
        if brewer.capacity_g is None:
            raise ValueError("Say how much brew water the brewer holds.")
    single = form.cup(brewer.kind, form.dose_g.data, form.water_g.data, *form.added())
    with beside(form.cups):
        room = (brewer.capacity_g, brewer.capacity_dose_g)
        shared = sharing.share(single, form.cups.data, *room, brewer.calibration, brewer.retained)
    refuse_no_cup(form.water_g, shared.single)
    refuse_no_cup(form.capacity_g, shared.estimate)
    steep_s = None
    if shared.steep_s is not None and single.steep_s is not None:
        wanted_s = max(shared.steep_s, single.steep_s)
        steep_s = STEEP_STEP_S * round(wanted_s / STEEP_STEP_S)
    brew = replace(shared.brew, steep_s=form.steep_s.data if steep_s is None else steep_s)
    needed_s = shared.needed_s
    cut_short = steep_s is not None and (needed_s is None or needed_s > steep_s + STEEP_STEP_S)
    steeped = estimate_cup(brew, brewer.calibration, brewer.retained)
    return SharedOut(
        form.cups.data,
        replace(shared, brew=brew),
        steep_s,
        steeped,
        _weaker_pct(shared.single, steeped) if cut_short else None,
        notice(single, shared.brew, Known(brewer.calibration, brewer.retained)),
        [propose_cup(context.start, brew, brewer)],
    )


def _weaker_pct(single: Estimate, steeped: Estimate) -> float | None:
    if single.strength_pct is None or steeped.strength_pct is None:
        return None
    weaker = single.strength_pct.value - steeped.strength_pct.value
    return weaker if weaker >= LEAST_SAID_PCT else None
