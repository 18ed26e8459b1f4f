"""Small experiments: what is varied, and the runs in the order that was drawn for them."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import JSON, CheckConstraint, ForeignKey, Index, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.models.base import Base, Binned, filled

FIELD_CHARS = 20


class Experiment(Binned, Base):
    """Brews of one bag that one taster scores: like a brew of the journal, by the numbers of a
    recipe where one is named, but for what is varied.

    `ended_at` is when somebody closed it before its last run.
    """

    __tablename__ = "experiment"
    __table_args__ = (
        UniqueConstraint("entry_key"),
        Index("ix_experiment_planned_at_id", "planned_at", "id"),
    )

    entry_key: Mapped[str] = mapped_column(String(36))
    planned_at: Mapped[datetime]
    bag_id: Mapped[int] = mapped_column(ForeignKey("bag.id"), index=True)
    taster_id: Mapped[int] = mapped_column(ForeignKey("taster.id"), index=True)
    like_id: Mapped[int] = mapped_column(ForeignKey("brew.id"), index=True)
    revision_id: Mapped[int | None] = mapped_column(ForeignKey("recipe_revision.id"), index=True)
    ended_at: Mapped[datetime | None]


class ExperimentFactor(Base):
    """A field of the brew that is varied, and its low and high setting in the stored unit."""

    __tablename__ = "experiment_factor"
    __table_args__ = (
        UniqueConstraint("experiment_id", "field"),
        CheckConstraint("place BETWEEN 1 AND 3", name="place_range"),
        CheckConstraint("low < high", name="low_below_high"),
        filled("field", FIELD_CHARS),
    )

    experiment_id: Mapped[int] = mapped_column(ForeignKey("experiment.id"), primary_key=True)
    place: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    field: Mapped[str] = mapped_column(String(FIELD_CHARS))
    low: Mapped[float]
    high: Mapped[float]


class ExperimentRun(Base):
    """A brew to make: the level of each factor (-1 low, 0 middle, 1 high) as it was drawn, and the
    brew once there is one."""

    __tablename__ = "experiment_run"
    __table_args__ = (
        UniqueConstraint("experiment_id", "place"),
        CheckConstraint("place >= 1", name="place_counts"),
        CheckConstraint("block >= 1", name="block_counts"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    experiment_id: Mapped[int] = mapped_column(ForeignKey("experiment.id"))
    place: Mapped[int]
    block: Mapped[int]
    levels: Mapped[list[int]] = mapped_column(JSON)
    brew_id: Mapped[int | None] = mapped_column(ForeignKey("brew.id"), unique=True)
    skipped_at: Mapped[datetime | None]
