"""Phones and other devices that were let in, and the codes that let them in once."""

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, ForeignKeyConstraint, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.models.base import Base, Name, filled


def _guest() -> tuple[ForeignKeyConstraint, CheckConstraint]:
    """A guest is one taster of one blind test."""
    return (
        ForeignKeyConstraint(
            ["guest_of_test_id", "guest_taster_id"],
            ["blind_taster.test_id", "blind_taster.taster_id"],
        ),
        CheckConstraint(
            "(guest_of_test_id IS NULL) = (guest_taster_id IS NULL)", name="guest_is_a_taster"
        ),
    )


class Device(Base):
    """A paired device. A guest's may see that taster's pages of that test only, and a helper's the
    serving cards of that test only."""

    __tablename__ = "device"
    __table_args__ = (
        UniqueConstraint("token_hash"),
        filled("name"),
        *_guest(),
        CheckConstraint(
            "helper_of_test_id IS NULL OR guest_of_test_id IS NULL", name="guest_or_helper"
        ),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[Name]
    token_hash: Mapped[str] = mapped_column(String(64))
    paired_at: Mapped[datetime]
    last_seen_at: Mapped[datetime]
    unpaired_at: Mapped[datetime | None]
    guest_of_test_id: Mapped[int | None] = mapped_column(index=True)
    guest_taster_id: Mapped[int | None]
    helper_of_test_id: Mapped[int | None] = mapped_column(ForeignKey("blind_test.id"), index=True)


class PairingCode(Base):
    """A code that pairs one device, once, before it runs out."""

    __tablename__ = "pairing_code"
    __table_args__ = (UniqueConstraint("code_hash"), *_guest())

    id: Mapped[int] = mapped_column(primary_key=True)
    code_hash: Mapped[str] = mapped_column(String(64))
    made_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    used_at: Mapped[datetime | None]
    guest_of_test_id: Mapped[int | None] = mapped_column(index=True)
    guest_taster_id: Mapped[int | None]
