"""One filling of a brewer for several cups: brew what fits, add the rest, share it out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ...brewing import bounds, sharing
from ...brewing.compare import notice
from ...brewing.sharing import Shared
from ...fields import NumberField
from ..desk import Desk, HowForm, way_of
from ..proposal import Proposal, propose

STEEP_STEP_S = 5  # nobody times a steep closer


class ShareForm(HowForm):
    """One cup as it is brewed alone, and how many are wanted."""

    dose_g = NumberField("Dose", bounds=bounds.DOSE_G, unit="g", required=True, default=11.0)
    water_g = NumberField("Brew water", bounds=bounds.WATER_G, unit="g", required=True, default=200)
    bypass_g = NumberField("Bypass water", bounds=bounds.BYPASS_G, unit="g")
    ice_g = NumberField("Ice", bounds=bounds.ICE_G, unit="g")
    cups = NumberField("Cups wanted", bounds=sharing.CUPS, required=True, whole=True, default=2)
    capacity_g = NumberField("The brewer holds", bounds=bounds.CAPACITY_G, unit="g")


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
    if way.capacity_g is None:
        raise ValueError("Say how much brew water the brewer holds.")
    more = {"bypass_g": form.bypass_g.data or 0.0, "ice_g": form.ice_g.data or 0.0}
    single = form.cup(way.kind, form.dose_g.data, form.water_g.data, **more)
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
        notice(found.single, found.reading),
        [propose(desk.start, plan, how, brewer_id=way.brewer_id)],
    )
