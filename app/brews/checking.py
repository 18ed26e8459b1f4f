"""A sent brew form checked as a whole: its fields, its moment, its photo."""

from __future__ import annotations

from datetime import datetime

from .. import clock
from .forms import BrewForm
from .photos import small_jpeg


def check(form: BrewForm, zone: str, kept: datetime | None) -> tuple[datetime | None, bytes | None]:
    """The moment and the photo of a valid form; no moment when something has to be mended."""
    sound, moment, jpeg = form.validate(), kept or clock.now(), None
    if form.brewed_at.data is not None:
        try:
            moment = clock.from_wall(form.brewed_at.data, zone, kept)
        except ValueError as trouble:
            form.brewed_at.errors, sound = [*form.brewed_at.errors, str(trouble)], False
    try:
        jpeg = small_jpeg(form.photo.data)
    except ValueError as trouble:
        form.photo.errors, sound = [*form.photo.errors, str(trouble)], False
    return (moment if sound else None), jpeg
