"""How this household wants values written; one row, made when first changed."""

from dataclasses import dataclass

from sqlalchemy import CheckConstraint, String
from sqlalchemy.orm import Mapped, mapped_column

from app.brewing import bounds
from app.models.base import Base, between, one_of

MASS_UNITS = ("g", "oz")
VOLUME_UNITS = ("ml", "US fl oz", "imperial fl oz")
TEMP_UNITS = ("°C", "°F")
CAFFEINE_LIMITS = ("adult", "pregnancy or lactation")


@dataclass(frozen=True, kw_only=True)
class SettingsValues:
    """What a household can choose, and what is usual where it chose nothing."""

    locale: str = "en"
    currency: str = "EUR"
    mass_unit: str = "g"
    volume_unit: str = "ml"
    temp_unit: str = "°C"
    kettle_efficiency_pct: float = 85.0
    caffeine: bool = False
    caffeine_limit: str = "adult"
    first_steps: bool = True


class Settings(Base):
    """The journal stores SI whatever is chosen here. Caffeine is left out unless asked for; the
    first steps stand on Today until they are done, or waved away here."""

    __tablename__ = "settings"
    __table_args__ = (
        CheckConstraint("id = 1", name="one_row"),
        CheckConstraint("length(currency) = 3", name="currency_code"),
        one_of("mass_unit", MASS_UNITS),
        one_of("volume_unit", VOLUME_UNITS),
        one_of("temp_unit", TEMP_UNITS),
        one_of("caffeine_limit", CAFFEINE_LIMITS),
        between("kettle_efficiency_pct", bounds.KETTLE_EFFICIENCY_PCT),
    )

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False, default=1)
    locale: Mapped[str] = mapped_column(String(20), default=SettingsValues.locale)
    currency: Mapped[str] = mapped_column(String(3), default=SettingsValues.currency)
    mass_unit: Mapped[str] = mapped_column(String(2), default=SettingsValues.mass_unit)
    volume_unit: Mapped[str] = mapped_column(String(14), default=SettingsValues.volume_unit)
    temp_unit: Mapped[str] = mapped_column(String(2), default=SettingsValues.temp_unit)
    kettle_efficiency_pct: Mapped[float] = mapped_column(
        default=SettingsValues.kettle_efficiency_pct
    )
    caffeine: Mapped[bool] = mapped_column(default=SettingsValues.caffeine)
    caffeine_limit: Mapped[str] = mapped_column(String(22), default=SettingsValues.caffeine_limit)
    first_steps: Mapped[bool] = mapped_column(default=SettingsValues.first_steps)
