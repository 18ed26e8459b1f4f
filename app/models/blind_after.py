"""What is said of a trial once its key was shown: kept apart from the answer, never counted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ForeignKey, String
from sqlalchemy.orm import Mapped, mapped_column

from app.models.base import Base, Note, at_most, one_of
from app.models.tastings import PREFERENCES


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterthoughtValues:
    """What is said afterwards; each is a column of that name."""

    preference: str | None = None
    note: str = ""


class Afterthought(Base):
    """A preference and a note given after the reveal; its number is that of its trial."""

    __tablename__ = "afterthought"
    __table_args__ = (at_most("note"), one_of("preference", PREFERENCES))

    id: Mapped[int] = mapped_column(ForeignKey("trial.id"), primary_key=True, autoincrement=False)
    noted_at: Mapped[datetime]
    preference: Mapped[str | None] = mapped_column(String(7))
    note: Mapped[Note]
