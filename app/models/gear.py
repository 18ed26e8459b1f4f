"""Brewers, grinders, waters, and filters with the packs they come from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sqlalchemy import (
    CheckConstraint,
    ColumnElement,
    ForeignKey,
    Index,
    String,
    UniqueConstraint,
    func,
)
from sqlalchemy.ext.hybrid import hybrid_property
from sqlalchemy.orm import Mapped, mapped_column, relationship

from app.brewing import bounds
from app.models.base import Base, Binned, Name, Note, at_most, between, filled, one_of

RINSES = ("none", "cold", "hot")


@dataclass(frozen=True, slots=True, kw_only=True)
class BrewerValues:
    """What a person notes of a brewer; like all values here, columns of these names."""

    name: str
    kind: str
    capacity_g: float | None = None
    capacity_dose_g: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GrinderValues:
    name: str
    scale: str = ""
    um_per_step: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterValues:
    name: str
    hardness_mg_l: float | None = None
    alkalinity_mg_l: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackValues:
    name: str
    material: str
    count: int
    bought_on: date | None = None
    price_minor: int | None = None
    currency: str
    mass_g: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FilterValues:
    prior_uses: int = 0
    rinse: str = "none"
    note: str = ""


class Brewer(Binned, Base):
    """A brewer. `capacity_g` is the brew water it holds together with `capacity_dose_g`.

    `alike_to_id` is the first of several that are alike: the one with the lowest number, which is
    alike to none itself (`journal/alike.py` writes it). Alike brewers are one cause.
    """

    __tablename__ = "brewer"
    __table_args__ = (
        at_most("note"),
        filled("name"),
        one_of("kind", bounds.BREWER_KINDS),
        between("capacity_g", bounds.CAPACITY_G),
        between("capacity_dose_g", bounds.DOSE_G),
        CheckConstraint("alike_to_id < id", name="alike_to_an_earlier_one"),
    )

    name: Mapped[Name]
    kind: Mapped[str] = mapped_column(String(20))
    capacity_g: Mapped[float | None]
    capacity_dose_g: Mapped[float | None]
    alike_to_id: Mapped[int | None] = mapped_column(ForeignKey("brewer.id"), index=True)
    note: Mapped[Note]

    @hybrid_property
    def first_id(self) -> int:
        """The first of those that are alike, or itself: the same number for all of them."""
        return self.alike_to_id or self.id

    @first_id.inplace.expression
    @classmethod
    def _first_id(cls) -> ColumnElement[int]:
        return func.coalesce(cls.alike_to_id, cls.id)


class Grinder(Binned, Base):
    """A grinder. `scale` says in words what its numbers count."""

    __tablename__ = "grinder"
    __table_args__ = (at_most("note"), filled("name"), between("um_per_step", bounds.UM_PER_STEP))

    name: Mapped[Name]
    scale: Mapped[Name] = mapped_column(default="")
    um_per_step: Mapped[float | None]
    note: Mapped[Note]


class Water(Binned, Base):
    """A water to brew with; hardness and alkalinity in mg/L as CaCO3."""

    __tablename__ = "water"
    __table_args__ = (
        at_most("note"),
        filled("name"),
        between("hardness_mg_l", bounds.HARDNESS_MG_L),
        between("alkalinity_mg_l", bounds.ALKALINITY_MG_L),
    )

    name: Mapped[Name]
    hardness_mg_l: Mapped[float | None]
    alkalinity_mg_l: Mapped[float | None]
    note: Mapped[Note]


class FilterPack(Binned, Base):
    """A pack of filters; `mass_g` is what one of them weighs."""

    __tablename__ = "filter_pack"
    __table_args__ = (
        at_most("note"),
        filled("name"),
        one_of("material", bounds.FILTER_MATERIALS),
        between("count", bounds.FILTER_COUNT),
        between("price_minor", bounds.PRICE_MINOR),
        between("mass_g", bounds.FILTER_MASS_G),
    )

    name: Mapped[Name]
    material: Mapped[str] = mapped_column(String(10))
    count: Mapped[int]
    bought_on: Mapped[date | None]
    price_minor: Mapped[int | None]
    currency: Mapped[str] = mapped_column(String(3), default="EUR")
    mass_g: Mapped[float | None]
    note: Mapped[Note]


class Filter(Binned, Base):
    """One filter taken out of its pack. Fresh or in use follows from its uses.

    One that was put back is in the bin, and keeps its number there.
    """

    __tablename__ = "filter"
    __table_args__ = (
        at_most("note"),
        UniqueConstraint("pack_id", "number"),
        between("prior_uses", bounds.PRIOR_USES),
        one_of("rinse", RINSES),
        Index("ix_filter_pack_id_binned_at", "pack_id", "binned_at"),
    )

    pack_id: Mapped[int] = mapped_column(ForeignKey("filter_pack.id"))
    number: Mapped[int]
    prior_uses: Mapped[int] = mapped_column(default=0)
    rinse: Mapped[str] = mapped_column(String(4), default="none")
    retired_on: Mapped[date | None] = mapped_column(index=True)
    note: Mapped[Note]

    pack: Mapped[FilterPack] = relationship(lazy="raise")
