"""Writing a tasting, within the caller's transaction."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.tastings import taster_named
from app.models import Tasting
from app.tastings.forms import SCALES, TastingForm
from app.text import search_text

VALUES = ("liking", *SCALES, "words", "note", "blind")


def add_tasting(
    session: Session, form: TastingForm, brew_id: int, moment: datetime, zone: str
) -> Tasting:
    """A new tasting from a valid form; the same form sent twice gives the one already there."""
    key = form.key()
    there = session.scalars(select(Tasting).where(Tasting.entry_key == key)).first()
    if there is not None:
        return there
    tasting = Tasting(entry_key=key, brew_id=brew_id, zone=zone)
    set_values(session, tasting, form, moment)
    session.add(tasting)
    return tasting


def set_values(session: Session, tasting: Tasting, form: TastingForm, moment: datetime) -> None:
    tasting.taster_id = _taster_id(session, form)
    for name in VALUES:
        setattr(tasting, name, form[name].data)
    tasting.tasted_at = moment
    tasting.text_search = search_text(tasting.words, tasting.note).strip()


def _taster_id(session: Session, form: TastingForm) -> int:
    """The taster picked, or named."""
    if form.new_taster.data:
        return taster_named(session, form.new_taster.data)
    picked: int = form.taster_id.data
    return picked
