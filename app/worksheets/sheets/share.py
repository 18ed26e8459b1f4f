"""One filling of a brewer for several cups: brew what fits, add the rest, share it out."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.brewing.bounds import CUPS_SHARED
from app.brewing.plans import sharing
from app.brewing.plans.compare import notice
from app.brewing.plans.sharing import Shared
from app.web.fields import NumberField
from app.worksheets.brewer import chosen_brewer
from app.worksheets.context import SheetContext
from app.worksheets.forms import AmountsForm, HowForm, beside
from app.worksheets.proposal import Proposal, propose

STEEP_STEP_S = 5  # nobody times a steep closer


class ShareForm(AmountsForm, HowForm):
    """One cup as it is brewed alone, and how many are wanted."""

    cups = NumberField("Cups wanted", bounds=CUPS_SHARED, required=True, whole=True, default=2)


@dataclass(frozen=True)
class SharedOut:
    """`steep_s` is the longer steep to use, if one gives the strength of the single cup."""

    cups: int
    shared: Shared
    steep_s: int | None
    notice: str
    proposals: Sequence[Proposal]


def shared_out(form: ShareForm, context: SheetContext) -> SharedOut:
    brewer = chosen_brewer(form, context)
    with beside(form.capacity_g):
        if brewer.capacity_g is None:
            raise ValueError("Say how much brew water the brewer holds.")
    single = form.cup(brewer.kind, form.dose_g.data, form.water_g.data, *form.added())
    with beside(form.cups):
        room = (brewer.capacity_g, brewer.capacity_dose_g)
        shared = sharing.share(single, form.cups.data, *room, brewer.calibration, brewer.retained)
    steep_s = None
    if shared.steep_s is not None and single.steep_s is not None:
        wanted_s = max(shared.steep_s, single.steep_s)
        steep_s = STEEP_STEP_S * round(wanted_s / STEEP_STEP_S)
    brew = shared.brew
    plan = context.start.plan(brew.dose_g, brew.water_g, brew.bypass_g, brew.ice_g)
    how = form.how() if steep_s is None else replace(form.how(), steep_s=steep_s)
    return SharedOut(
        form.cups.data,
        replace(shared, brew=replace(brew, steep_s=how.steep_s)),
        steep_s,
        notice(shared.single, shared.estimate),
        [propose(context.start, plan, how, brewer_id=brewer.brewer_id)],
    )
