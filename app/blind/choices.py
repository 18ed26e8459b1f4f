"""What a cup of a blind test may point at: the latest brews, recipes as they are, filters."""

from __future__ import annotations

from typing import Any

from sqlalchemy.orm import Session

from app.blind.forms import PlanForm
from app.journal.brews import NamedBrew, named_brews, newest_ids
from app.journal.on_hand import on_hand
from app.journal.recipes import pickable_revisions
from app.journal.rows import rows_as
from app.journal.tastings import likely_taster, tasters
from app.journal.words import brew_in_words
from app.models import Brew
from app.web.formats import formats

MOST_BREWS = 30
NONE = ("", "none")


def offer_choices(session: Session, form: PlanForm) -> None:
    """Fill the lists of the form; what was picked before stays even if it is an old brew."""
    picked = [form[f"{cup}_brew_id"].data for cup in "ab"]
    brew_ids = [*newest_ids(session, MOST_BREWS), *(brew_id for brew_id in picked if brew_id)]
    used = [form[f"{cup}_filter_id"].data for cup in "ab"]
    filters = on_hand(session, also=[filter_id for filter_id in used if filter_id])
    revisions = pickable_revisions(session)
    brews = list(brews_in_words(session, brew_ids).items())
    form.a_brew_id.choices = form.b_brew_id.choices = [NONE, *brews]
    form.a_revision_id.choices = form.b_revision_id.choices = [
        NONE, *((row.revision_id, f"{row.name}, revision {row.number}") for row in revisions),
    ]  # fmt: skip
    form.a_filter_id.choices = form.b_filter_id.choices = [
        NONE, *((row.filter_id, row.name) for row in filters),
    ]  # fmt: skip
    known: dict[Any, str] = dict(tasters(session))
    form.taster_id.choices = known
    form.offer(known)
    if form.taster_id.data is None and not form.new_taster.data:
        form.taster_id.data = likely_taster(session, ()) or next(iter(known), None)


def brews_in_words(session: Session, brew_ids: list[int]) -> dict[int, str]:
    """The brews by id, the newest first."""
    query = named_brews().where(Brew.id.in_(brew_ids))
    newest_first = query.order_by(Brew.brewed_at.desc(), Brew.id.desc())
    rows = rows_as(NamedBrew, session, newest_first) if brew_ids else []
    return {row.id: brew_in_words(row, formats()) for row in rows}
