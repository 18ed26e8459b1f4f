"""Packets for A – not A, filled and coded ahead, kept as they were by triggers of the database."""

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, String
from sqlalchemy.orm import Mapped, mapped_column

from app.models.base import Base, filled, one_of
from app.models.blind import ADDRESS_CHARS
from app.sensory import terms


class BlindPacket(Base):
    """A dose, a filter, a bottle: what one trial is brewed from, with its code on it.

    `cup` is the key, drawn by a coin of its own; whoever packed it saw it until `covered_at`.
    `packed_by` is the hash of that browser's secret. A trial takes one packet and says so in
    `trial_id`.
    """

    __tablename__ = "blind_packet"
    __table_args__ = (
        one_of("cup", terms.LETTERS),
        filled("code", 3),
        CheckConstraint("trial_id IS NULL OR covered_at IS NOT NULL", name="covered_before_use"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    test_id: Mapped[int] = mapped_column(ForeignKey("blind_test.id"), index=True)
    code: Mapped[str] = mapped_column(String(3))
    cup: Mapped[terms.Letter] = mapped_column(String(1))
    packed_at: Mapped[datetime]
    packed_by: Mapped[str] = mapped_column(String(64))
    packed_from: Mapped[str] = mapped_column(String(ADDRESS_CHARS))
    covered_at: Mapped[datetime | None]
    trial_id: Mapped[int | None] = mapped_column(ForeignKey("trial.id"), unique=True)
