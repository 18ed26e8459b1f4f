"""What the household chose, and keeping the pages in step with it."""

from flask import current_app, request
from sqlalchemy.exc import DBAPIError

from app.config import Config
from app.database import while_unchanged
from app.formats import Formats, Units
from app.journal.settings import settings
from app.models import Settings
from app.web.formats import CurrentFormats
from app.web.session import database, reading

SILENT = {"static", "plotly"}


def household() -> Settings:
    """The chosen settings, or the usual ones of a journal where nothing was chosen."""
    config: Config = current_app.config["JOURNAL"]
    return settings(reading(), config.locale)


def follow_settings() -> None:
    """Before a page: write values as the household chose, in whichever process it did so."""
    if request.endpoint in SILENT:
        return
    current: CurrentFormats = current_app.extensions["oddcup_formats"]
    try:
        current.now = while_unchanged(reading(), "formats", _formats)
    except DBAPIError:
        if not database().damaged:
            raise


def _formats() -> Formats:
    chosen = household()
    units = Units(chosen.mass_unit, chosen.volume_unit, chosen.temp_unit)
    return Formats(chosen.locale, units)
