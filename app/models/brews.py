"""The brew: what was actually done, and the filters it went through."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import (
    CheckConstraint,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    LargeBinary,
    String,
    Text,
    UniqueConstraint,
    text,
)
from sqlalchemy.orm import Mapped, mapped_column, relationship

from app.brewing import bounds
from app.models.base import Base, Binned, Name, Note, at_most, between
from app.models.beans import Bag
from app.models.gear import Brewer, Filter, Grinder, Water
from app.models.recipes import Amounts, Made, RecipeRevision


@dataclass(frozen=True, slots=True, kw_only=True)
class BrewValues(Amounts):
    """What a person notes of a brew; each is a column of that name.

    Bag and brewer are None only while they are still to be created with the brew.
    """

    bag_id: int | None = None
    brewer_id: int | None = None
    grinder_id: int | None = None
    water_id: int | None = None
    revision_id: int | None = None
    grind_setting: str = ""
    press_effort: int | None = None
    beverage_g: float | None = None
    tds_pct: float | None = None
    brix: float | None = None
    note: str = ""


class Brew(Made, Binned, Base):
    """One brew. Strength and extraction are worked out from it, never stored.

    `brix` is what a meter showed that reads °Brix; `tds_pct` is then the strength taken from it.

    `brewed_on` is the calendar day of `brewed_at` in `zone`, kept for searching.
    `entry_key`, that of the form it was entered in, is its name in every copy of the journal.
    """

    __tablename__ = "brew"
    __table_args__ = (
        at_most("note"),
        UniqueConstraint("entry_key"),
        UniqueConstraint("id", "brewed_at"),
        *Made.within(),
        between("press_effort", bounds.PRESS_EFFORT),
        between("beverage_g", bounds.BEVERAGE_G),
        between("tds_pct", bounds.TDS_PCT),
        between("brix", bounds.BRIX),
        CheckConstraint("brix IS NULL OR tds_pct IS NOT NULL", name="brix_is_a_strength"),
        CheckConstraint("length(grind_setting) <= 20", name="grind_setting_length"),
        Index("ix_brew_brewed_at_id", "brewed_at", "id"),
        Index("ix_brew_bag_id_brewed_at", "bag_id", "brewed_at", "id"),
        Index("ix_brew_revision_id_brewed_at", "revision_id", "brewed_at", "id"),
        Index("ix_brew_brewer_id_brewed_at", "brewer_id", "brewed_at", "id"),
        Index("ix_brew_grinder_id_brewed_at", "grinder_id", "brewed_at", "id"),
        Index("ix_brew_water_id_brewed_at", "water_id", "brewed_at", "id"),
        Index("ix_brew_brewed_on", "brewed_on"),
        Index("ix_brew_binned_at", "binned_at", sqlite_where=text("binned_at IS NOT NULL")),
        Index("ix_brew_measured", "brewed_at", sqlite_where=text("tds_pct IS NOT NULL")),
        Index("ix_brew_weighed", "brewed_at", sqlite_where=text("beverage_g IS NOT NULL")),
    )

    entry_key: Mapped[str] = mapped_column(String(36))
    brewed_at: Mapped[datetime]
    zone: Mapped[str] = mapped_column(String(60))
    brewed_on: Mapped[date]
    bag_id: Mapped[int] = mapped_column(ForeignKey("bag.id"))
    brewer_id: Mapped[int] = mapped_column(ForeignKey("brewer.id"))
    grinder_id: Mapped[int | None] = mapped_column(ForeignKey("grinder.id"))
    water_id: Mapped[int | None] = mapped_column(ForeignKey("water.id"))
    revision_id: Mapped[int | None] = mapped_column(ForeignKey("recipe_revision.id"))
    grind_setting: Mapped[str] = mapped_column(String(20), default="")
    press_effort: Mapped[int | None] = mapped_column(info={"unit": "1 to 5"})
    beverage_g: Mapped[float | None]
    tds_pct: Mapped[float | None]
    brix: Mapped[float | None] = mapped_column(info={"unit": "°Brix"})
    note: Mapped[Note]
    note_search: Mapped[str] = mapped_column(Text, default="")

    bag: Mapped[Bag] = relationship(lazy="raise")
    brewer: Mapped[Brewer] = relationship(lazy="raise")
    grinder: Mapped[Grinder | None] = relationship(lazy="raise")
    water: Mapped[Water | None] = relationship(lazy="raise")
    revision: Mapped[RecipeRevision | None] = relationship(lazy="raise")
    stack: Mapped[list[FilterUse]] = relationship(
        lazy="raise", order_by="FilterUse.position", cascade="all, delete-orphan"
    )


class FilterUse(Base):
    """A filter in a brew. Which use it was is counted, not stored.

    `brewed_at` follows the brew's own by the foreign key, so that counting the uses before a
    moment stays inside one index however long the filter lives.
    """

    __tablename__ = "filter_use"
    __table_args__ = (
        ForeignKeyConstraint(
            ["brew_id", "brewed_at"], ["brew.id", "brew.brewed_at"], onupdate="CASCADE"
        ),
        UniqueConstraint("brew_id", "filter_id"),
        between("position", bounds.STACK_POSITION),
        Index("ix_filter_use_filter_id_brewed_at", "filter_id", "brewed_at", "brew_id"),
    )

    brew_id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    position: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    brewed_at: Mapped[datetime]
    filter_id: Mapped[int] = mapped_column(ForeignKey("filter.id"))

    filter: Mapped[Filter] = relationship(lazy="raise")


class BrewPhoto(Binned, Base):
    """A picture of a brew, re-encoded small and free of its camera's notes.

    One is shown; those it took the place of are in the bin.
    """

    __tablename__ = "brew_photo"
    __table_args__ = (
        Index(
            "uq_brew_photo_one_shown", "brew_id", unique=True,
            sqlite_where=text("binned_at IS NULL"), postgresql_where=text("binned_at IS NULL"),
        ),
        # Found without reading past the pictures.
        Index("ix_brew_photo_binned_at", "binned_at", sqlite_where=text("binned_at IS NOT NULL")),
    )  # fmt: skip

    brew_id: Mapped[int] = mapped_column(ForeignKey("brew.id"), index=True)
    alt: Mapped[Name] = mapped_column(default="")
    jpeg: Mapped[bytes] = mapped_column(LargeBinary)
