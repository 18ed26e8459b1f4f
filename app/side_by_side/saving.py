"""Keeping a comparison, within the caller's transaction."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.models import SideBySide
from app.side_by_side.forms import SaveForm

TWICE = timedelta(seconds=30)


def keep(session: Session, brew_a: int, brew_b: int, form: SaveForm, now: datetime) -> SideBySide:
    """A saved comparison from a valid form; the very same one sent twice at once is kept once."""
    said = {
        "brew_a_id": brew_a,
        "brew_b_id": brew_b,
        "preference": form.preference.data,
        "note": form.note.data or "",
    }
    just_now = select(SideBySide).filter_by(**said).where(SideBySide.saved_at > now - TWICE)
    there = session.scalars(just_now).first()
    if there is not None:
        return there
    saved = SideBySide(saved_at=now, **said)
    session.add(saved)
    return saved
