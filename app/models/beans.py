"""Beans and the bags they come in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sqlalchemy import CheckConstraint, ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column, relationship

from app.brewing import bounds
from app.models.base import Base, Binned, Name, Note, at_most, between, filled, one_of

BUY_AGAIN = ("yes", "unsure", "no")


@dataclass(frozen=True, slots=True, kw_only=True)
class BeanValues:
    """What a person notes of a bean; each is a column of that name."""

    name: str
    roaster: str = ""
    origin: str = ""
    process: str = ""
    robusta_pct: float = 0.0
    decaf: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BagValues:
    """What a person notes of a bag; each is a column of that name."""

    roasted_on: date | None = None
    opened_on: date | None = None
    finished_on: date | None = None
    net_g: float | None = None
    price_minor: int | None = None
    currency: str
    note: str = ""
    buy_again: str = ""
    buy_again_note: str = ""


class Bean(Binned, Base):
    __tablename__ = "bean"
    __table_args__ = (
        at_most("note"),
        filled("name"),
        between("robusta_pct", bounds.ROBUSTA_PCT),
        Index("ix_bean_name_id", "name", "id"),
    )

    name: Mapped[Name]
    roaster: Mapped[Name] = mapped_column(default="")
    origin: Mapped[Name] = mapped_column(default="")
    process: Mapped[Name] = mapped_column(default="")
    robusta_pct: Mapped[float] = mapped_column(default=0.0)
    decaf: Mapped[bool] = mapped_column(default=False)
    note: Mapped[Note]


class Bag(Binned, Base):
    """One bag of a bean. What is left is worked out: net, less doses, plus corrections.

    `buy_again` is the household's own verdict, empty while there is none.
    """

    __tablename__ = "bag"
    __table_args__ = (
        at_most("note"),
        at_most("buy_again_note"),
        one_of("buy_again", ("", *BUY_AGAIN)),
        between("net_g", bounds.NET_G),
        between("price_minor", bounds.PRICE_MINOR),
        CheckConstraint("length(currency) = 3", name="currency_code"),
        CheckConstraint("finished_on >= opened_on", name="finished_after_opened"),
        Index("ix_bag_finished_on_id", "finished_on", "id"),
    )

    bean_id: Mapped[int] = mapped_column(ForeignKey("bean.id"), index=True)
    roasted_on: Mapped[date | None]
    opened_on: Mapped[date | None]
    finished_on: Mapped[date | None]
    net_g: Mapped[float | None]
    price_minor: Mapped[int | None]
    currency: Mapped[str] = mapped_column(String(3), default="EUR")
    note: Mapped[Note]
    buy_again: Mapped[str] = mapped_column(String(6), default="")
    buy_again_note: Mapped[Note]

    bean: Mapped[Bean] = relationship(lazy="raise")
    # Those in the bin are left out.
    frozen: Mapped[list[FrozenSpan]] = relationship(
        primaryjoin="and_(Bag.id == FrozenSpan.bag_id, FrozenSpan.binned_at.is_(None))",
        lazy="raise", order_by="FrozenSpan.from_on", cascade="all, delete-orphan",
    )  # fmt: skip
    corrections: Mapped[list[BagCorrection]] = relationship(
        primaryjoin="and_(Bag.id == BagCorrection.bag_id, BagCorrection.binned_at.is_(None))",
        lazy="raise", order_by="BagCorrection.noted_on", cascade="all, delete-orphan",
    )  # fmt: skip


class FrozenSpan(Binned, Base):
    """Days a bag spent in the freezer; an open end means it is still there."""

    __tablename__ = "frozen_span"
    __table_args__ = (CheckConstraint("to_on >= from_on", name="to_after_from"),)

    bag_id: Mapped[int] = mapped_column(ForeignKey("bag.id"), index=True)
    from_on: Mapped[date]
    to_on: Mapped[date | None]


class BagCorrection(Binned, Base):
    """Grams that came or went without a brew: spilled, given away, weighed again."""

    __tablename__ = "bag_correction"
    __table_args__ = (between("grams", bounds.CORRECTION_G), filled("why"))

    bag_id: Mapped[int] = mapped_column(ForeignKey("bag.id"), index=True)
    noted_on: Mapped[date]
    grams: Mapped[float]
    why: Mapped[Name]
