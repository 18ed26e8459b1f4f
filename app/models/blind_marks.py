"""What a blind test carries for good: that its journal was put back, and its brews’ uses then."""

from datetime import datetime

from sqlalchemy import ForeignKey, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.models.base import Base


class BlindTestMark(Base):
    """The journal was put back to an earlier state while the test was open, seen at this moment."""

    __tablename__ = "blind_test_mark"
    __table_args__ = (UniqueConstraint("test_id", "put_back_at"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    test_id: Mapped[int] = mapped_column(ForeignKey("blind_test.id"))
    put_back_at: Mapped[datetime]


class BlindTestUse(Base):
    """Which use of a filter a brew of the test was when the test was first answered, or when the
    brew was tied to a trial. Uses are counted, and so move with other brews."""

    __tablename__ = "blind_test_use"

    test_id: Mapped[int] = mapped_column(ForeignKey("blind_test.id"), primary_key=True)
    brew_id: Mapped[int] = mapped_column(ForeignKey("brew.id"), primary_key=True)
    filter_id: Mapped[int] = mapped_column(ForeignKey("filter.id"), primary_key=True)
    number: Mapped[int]
