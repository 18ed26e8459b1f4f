"""How this household wants values written; one row, made when first changed."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, String
from sqlalchemy.orm import Mapped, mapped_column

from app.brewing import bounds
from app.models.base import Base, between, one_of

MASS_UNITS = ("g", "oz")
VOLUME_UNITS = ("ml", "US fl oz", "imperial fl oz")
TEMP_UNITS = ("°C", "°F")
CAFFEINE_LIMITS = ("adult", "pregnancy or lactation")


class Settings(Base):
    """The journal stores SI whatever is chosen here. Caffeine is left out unless asked for."""

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
    locale: Mapped[str] = mapped_column(String(20), default="en")
    currency: Mapped[str] = mapped_column(String(3), default="EUR")
    mass_unit: Mapped[str] = mapped_column(String(2), default="g")
    volume_unit: Mapped[str] = mapped_column(String(14), default="ml")
    temp_unit: Mapped[str] = mapped_column(String(2), default="°C")
    kettle_efficiency_pct: Mapped[float] = mapped_column(default=85.0)
    caffeine: Mapped[bool] = mapped_column(default=False)
    caffeine_limit: Mapped[str] = mapped_column(String(22), default="adult")
