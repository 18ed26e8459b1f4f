"""What a cup of a blind test may point at: the latest brews, recipes as they are, filters."""

from __future__ import annotations

from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from ..filters.uses import on_hand
from ..formats import Formats, formats
from ..models import Bag, Bean, Brew
from ..recipes.queries import pickable_revisions
from ..tastings.queries import likely_taster, tasters
from .forms import PlanForm

MOST_BREWS = 30
NONE: dict[int | str, str] = {"": "none"}


def offer_choices(session: Session, form: PlanForm) -> None:
    """Fill the lists of the form; what was picked before stays even if it is an old brew."""
    writes = formats()
    picked = [form[f"{cup}_brew_id"].data for cup in "ab"]
    brews = [(row.id, _brew(row, writes)) for row in _brews(session, picked)]
    revisions = [
        (row.revision_id, f"{row.name}, revision {row.number}")
        for row in pickable_revisions(session)
    ]
    used = [form[f"{cup}_filter_id"].data for cup in "ab"]
    filters = [(row.filter_id, row.name) for row in on_hand(session, also=[i for i in used if i])]
    for field, rows in (
        *((form.a_brew_id, brews), (form.b_brew_id, brews)),
        *((form.a_revision_id, revisions), (form.b_revision_id, revisions)),
        *((form.a_filter_id, filters), (form.b_filter_id, filters)),
    ):
        field.choices = NONE | dict(rows)
    known: dict[Any, str] = dict(tasters(session))
    form.taster_id.choices = known
    form.offer(known)
    if form.taster_id.data is None and not form.new_taster.data:
        form.taster_id.data = likely_taster(session, ()) or next(iter(known), None)


def _brews(session: Session, also: list[int | None]) -> list[Any]:
    newest = (
        select(Brew.id)
        .where(Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(MOST_BREWS)
    )
    wanted = [*session.scalars(newest), *(brew_id for brew_id in also if brew_id)]
    query = (
        select(Brew.id, Brew.brewed_at, Brew.zone, Brew.dose_g, Brew.water_g, Bean.name)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Brew.id.in_(wanted))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
    )
    return list(session.execute(query))


def _brew(row: Any, formats: Formats) -> str:
    made = f"{formats.grams(row.dose_g)} in {formats.grams(row.water_g)}"
    return f"{row.name}, {formats.moment(row.brewed_at, row.zone)}, {made}"
