"""What the household chose: units, decimal sign, currency, caffeine."""

from __future__ import annotations

from flask import current_app
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.config import Config
from app.models import Settings


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
