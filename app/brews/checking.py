"""A sent brew form checked as a whole: its fields, its moment, its photo."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy.orm import Session

from app.brews.forms import BrewForm
from app.brews.photos import small_jpeg
from app.brews.picks import all_there
from app.models import Brew
from app.web import clock


def check(
    session: Session, form: BrewForm, zone: str, brew: Brew | None = None
) -> tuple[datetime | None, bytes | None]:
    """When it was brewed, and the photo, of a valid form; no moment where the form has errors.

    `brew` is the one being changed.
    """
    before, jpeg = brew.brewed_at if brew else None, None
    valid = form.validate() & all_there(session, form, brew)
    moment = before or clock.now()
    if form.brewed_at.data is not None:
        try:
            moment = clock.from_wall(form.brewed_at.data, zone, before)
        except ValueError as error:
            form.brewed_at.errors, valid = [*form.brewed_at.errors, str(error)], False
    try:
        jpeg = small_jpeg(form.photo.data)
    except ValueError as error:
        form.photo.errors, valid = [*form.photo.errors, str(error)], False
    return (moment if valid else None), jpeg
