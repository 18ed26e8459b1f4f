"""What the household chose, and keeping the pages in step with it."""

from dataclasses import astuple
from itertools import product

from flask import Flask, current_app, g, request
from sqlalchemy.exc import DBAPIError

from app.config import Config
from app.database import while_unchanged
from app.formats import Formats, Units
from app.journal.settings import settings
from app.models import Settings
from app.models.settings import MASS_UNITS, TEMP_UNITS, VOLUME_UNITS
from app.web.formats import CurrentFormats, formats
from app.web.session import database, reading

UNITS_FIELD = "in_units"
UNITS = {"|".join(names): Units(*names) for names in product(MASS_UNITS, VOLUME_UNITS, TEMP_UNITS)}
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


def keep_units_of_forms(app: Flask) -> None:
    """A form says which units it was shown in, and is read in them if others were chosen since."""
    app.jinja_env.globals.update(units_shown=lambda: "|".join(astuple(formats().units)))
    app.before_request(_read_as_shown)


def _read_as_shown() -> None:
    units = UNITS.get(request.form.get(UNITS_FIELD, "")) if request.method == "POST" else None
    if units and units != formats().units:
        g.formats = Formats(formats().locale, units)


def _formats() -> Formats:
    chosen = household()
    units = Units(chosen.mass_unit, chosen.volume_unit, chosen.temp_unit)
    return Formats(chosen.locale, units)
