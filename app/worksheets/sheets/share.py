"""One filling of a brewer for several cups: brew what fits, add the rest, share it out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.brewing.bounds import CUPS_SHARED
from app.brewing.plans import sharing
from app.brewing.plans.compare import notice
from app.brewing.plans.sharing import Shared
from app.web.fields import NumberField
from app.worksheets.desk import Desk
from app.worksheets.forms import AmountsForm, HowForm, beside
from app.worksheets.proposal import Proposal, propose
from app.worksheets.way import way_of

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


def shared_out(form: ShareForm, desk: Desk) -> SharedOut:
    way = way_of(form, desk)
    with beside(form.capacity_g):
        if way.capacity_g is None:
            raise ValueError("Say how much brew water the brewer holds.")
    single = form.cup(way.kind, form.dose_g.data, form.water_g.data, **form.added())
    with beside(form.cups):
        found = sharing.share(
            single,
            form.cups.data,
            way.capacity_g,
            way.capacity_dose_g,
            way.calibration,
            way.retained,
        )
    steep_s = None
    if found.steep_s is not None and single.steep_s is not None:
        wanted_s = max(found.steep_s, single.steep_s)
        steep_s = STEEP_STEP_S * round(wanted_s / STEEP_STEP_S)
    brew = found.brew
    plan = desk.start.plan(brew.dose_g, brew.water_g, brew.bypass_g, brew.ice_g)
    how = form.values() | ({} if steep_s is None else {"steep_s": steep_s})
    return SharedOut(
        form.cups.data,
        replace(found, brew=replace(brew, steep_s=how["steep_s"])),
        steep_s,
        notice(found.single, found.estimate),
        [propose(desk.start, plan, how, brewer_id=way.brewer_id)],
    )
