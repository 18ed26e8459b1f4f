"""What the household chose, and keeping the pages in step with it."""

from __future__ import annotations

from flask import current_app, request
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.web.session import database, reading

from ..config import Config
from ..formats import CurrentFormats, Formats, Units
from ..models import Settings

SILENT = {"static", "plotly"}


def settings(session: Session) -> Settings:
    """The chosen settings, or the plain ones of a journal where nothing was chosen."""
    chosen = session.scalars(select(Settings)).one_or_none()
    return chosen or plain()


def plain() -> Settings:
    config: Config = current_app.config["JOURNAL"]
    return Settings(
        id=1,
        locale=config.locale,
        currency="EUR",
        mass_unit="g",
        volume_unit="ml",
        temp_unit="°C",
        kettle_efficiency_pct=85.0,
        caffeine=False,
        caffeine_limit="adult",
    )


def follow_settings() -> None:
    """Before a page: write values as chosen, looking anew only after the journal was written to."""
    current: CurrentFormats = current_app.extensions["oddcup_formats"]
    version = database().version
    if current.version == version or request.endpoint in SILENT:
        return
    chosen = settings(reading())
    units = Units(chosen.mass_unit, chosen.volume_unit, chosen.temp_unit)
    current.now, current.version = Formats(chosen.locale, units), version
