"""What a cup of a blind test may point at: the latest brews, recipes as they are, filters."""

from __future__ import annotations

from typing import Any

from sqlalchemy.orm import Session

from app.blind.forms import PlanForm
from app.journal.brews import brew_rows, newest_ids
from app.journal.recipes import pickable_revisions
from app.journal.tastings import likely_taster, tasters
from app.journal.uses import on_hand
from app.journal.words import brew_in_words
from app.web.formats import formats

MOST_BREWS = 30
NONE: dict[int | str, str] = {"": "none"}


def offer_choices(session: Session, form: PlanForm) -> None:
    """Fill the lists of the form; what was picked before stays even if it is an old brew."""
    picked = [form[f"{cup}_brew_id"].data for cup in "ab"]
    brews = _brews(session, picked)
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
        field.choices = [*NONE.items(), *rows]
    known: dict[Any, str] = dict(tasters(session))
    form.taster_id.choices = known
    form.offer(known)
    if form.taster_id.data is None and not form.new_taster.data:
        form.taster_id.data = likely_taster(session, ()) or next(iter(known), None)


def _brews(session: Session, also: list[int | None]) -> list[tuple[int, str]]:
    """The latest brews, and those picked before, by id and in words."""
    wanted = [*newest_ids(session, MOST_BREWS), *(brew_id for brew_id in also if brew_id)]
    rows = session.execute(brew_rows(), {"brew_ids": wanted})
    return [(row.id, brew_in_words(row, formats())) for row in rows]
