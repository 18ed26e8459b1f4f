"""Recipes, their revisions and the steps of each."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from app.brewing import bounds
from app.models.base import WORDS_CHARS, Base, Binned, Name, Note, at_most, between, filled, one_of

STEP_KINDS = ("bloom", "pour", "stir", "steep", "press", "dilute", "ice")


@dataclass(frozen=True, slots=True, kw_only=True)
class Amounts:
    """How a cup is made, in a recipe and in a brew alike; each is a column of that name."""

    dose_g: float
    water_g: float
    bypass_g: float = 0.0
    ice_g: float = 0.0
    grind: str = ""
    water_temp_c: float | None = None
    steep_s: int | None = None
    press_s: int | None = None
    stirs: int | None = None
    flipped: bool = False


class Made:
    """The amounts as columns of a recipe's revision and of a brew; `within` are their bounds."""

    dose_g: Mapped[float]
    water_g: Mapped[float]
    bypass_g: Mapped[float] = mapped_column(default=0.0)
    ice_g: Mapped[float] = mapped_column(default=0.0)
    grind: Mapped[str] = mapped_column(String(13))
    water_temp_c: Mapped[float | None]
    steep_s: Mapped[int | None]
    press_s: Mapped[int | None]
    stirs: Mapped[int | None]
    flipped: Mapped[bool] = mapped_column(default=False)

    @staticmethod
    def within() -> tuple[CheckConstraint, ...]:
        return (
            one_of("grind", bounds.GRINDS_OR_NONE),
            between("dose_g", bounds.DOSE_G),
            between("water_g", bounds.WATER_G),
            between("bypass_g", bounds.BYPASS_G),
            between("ice_g", bounds.ICE_G),
            between("water_temp_c", bounds.WATER_TEMP_C),
            between("steep_s", bounds.STEEP_S),
            between("press_s", bounds.PRESS_S),
            between("stirs", bounds.STIRS),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RevisionValues(Amounts):
    """What a revision of a recipe says besides its steps."""

    brewer_id: int | None = None


class Recipe(Binned, Base):
    __tablename__ = "recipe"
    __table_args__ = (at_most("note"), filled("name"))

    name: Mapped[Name]
    note: Mapped[Note]

    revisions: Mapped[list[RecipeRevision]] = relationship(
        back_populates="recipe", lazy="raise", order_by="RecipeRevision.number"
    )


class RecipeRevision(Made, Base):
    """What a recipe said at one time. Once a brew points at it, it no longer changes."""

    __tablename__ = "recipe_revision"
    __table_args__ = (
        UniqueConstraint("recipe_id", "number"),
        at_most("why", WORDS_CHARS),
        *Made.within(),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    recipe_id: Mapped[int] = mapped_column(ForeignKey("recipe.id"))
    number: Mapped[int]
    made_at: Mapped[datetime]
    why: Mapped[str] = mapped_column(String(WORDS_CHARS), default="")
    brewer_id: Mapped[int | None] = mapped_column(ForeignKey("brewer.id"), index=True)

    recipe: Mapped[Recipe] = relationship(back_populates="revisions", lazy="raise")
    steps: Mapped[list[Step]] = relationship(
        lazy="raise", order_by="Step.position", cascade="all, delete-orphan"
    )


class Step(Base):
    """One thing to do: when it starts, how long it takes, how much goes in."""

    __tablename__ = "step"
    __table_args__ = (
        UniqueConstraint("revision_id", "position"),
        one_of("kind", STEP_KINDS),
        between("starts_s", bounds.STEEP_S),
        between("lasts_s", bounds.STEEP_S),
        between("grams", bounds.BYPASS_G),
        at_most("note", WORDS_CHARS),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    revision_id: Mapped[int] = mapped_column(ForeignKey("recipe_revision.id"))
    position: Mapped[int]
    kind: Mapped[str] = mapped_column(String(6))
    starts_s: Mapped[int | None]
    lasts_s: Mapped[int | None]
    grams: Mapped[float | None]
    note: Mapped[str] = mapped_column(String(WORDS_CHARS), default="")
