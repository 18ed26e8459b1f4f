"""What the household chose, and keeping the pages in step with it."""

from __future__ import annotations

from flask import current_app, request

from app.formats import Formats, Units
from app.journal.settings import settings
from app.web.formats import CurrentFormats
from app.web.session import database, reading

SILENT = {"static", "plotly"}


def follow_settings() -> None:
    """Before a page: write values as chosen, looking anew only after the journal was written to."""
    current: CurrentFormats = current_app.extensions["oddcup_formats"]
    version = database().version
    if current.version == version or request.endpoint in SILENT:
        return
    chosen = settings(reading())
    units = Units(chosen.mass_unit, chosen.volume_unit, chosen.temp_unit)
    current.now, current.version = Formats(chosen.locale, units), version
