"""What the household chose: units, decimal sign, currency, caffeine."""

from dataclasses import asdict

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.models import Bag, FilterPack, Settings
from app.models.settings import SettingsValues

CHOSEN = select(Settings)


def settings(session: Session, locale: str) -> Settings:
    """The chosen settings, or the usual ones, written as in `locale`, where nothing was chosen."""
    chosen = session.scalars(CHOSEN).one_or_none()
    return chosen or Settings(id=1, **asdict(SettingsValues(locale=locale)))


def save_settings(session: Session, values: SettingsValues) -> None:
    session.merge(Settings(id=1, **asdict(values)))


def wave_first_steps_away(session: Session, locale: str) -> None:
    """Show them no more; whatever else stands, stays."""
    session.merge(settings(session, locale)).first_steps = False


def last_currency(session: Session, bought: type[Bag] | type[FilterPack]) -> str:
    """The currency that the newest bag or pack was paid in."""
    newest = select(bought.currency).order_by(bought.id.desc()).limit(1)
    return session.scalar(newest) or SettingsValues.currency
