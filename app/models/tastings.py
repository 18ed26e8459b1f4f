"""Who tasted a brew and what they said; two brews set side by side."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, String, Text, text
from sqlalchemy.orm import Mapped, mapped_column, relationship

from app.brewing import bounds
from app.models.base import WORDS_CHARS, Base, Binned, Name, Note, at_most, between, filled, one_of
from app.models.brews import Brew

PREFERENCES = ("a", "b", "neither")
JUST_RIGHT_SCALES = ("strength", "sweetness", "acidity", "bitterness", "body", "clarity")


class Taster(Binned, Base):
    """Who tastes. `same_as_id` is the one this taster was merged into, and who is none itself: this
    row lies in the bin then, and only sealed trials still point at it (`journal/people.py`)."""

    __tablename__ = "taster"
    __table_args__ = (filled("name"), CheckConstraint("same_as_id <> id", name="same_as_another"))

    name: Mapped[Name]
    same_as_id: Mapped[int | None] = mapped_column(ForeignKey("taster.id"), index=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class TastingValues:
    """What a taster says of a brew; each is a column of that name."""

    liking: int | None = None
    jar_strength: int | None = None
    jar_sweetness: int | None = None
    jar_acidity: int | None = None
    jar_bitterness: int | None = None
    jar_body: int | None = None
    jar_clarity: int | None = None
    words: str = ""
    note: str = ""
    blind: bool = False


class Tasting(Binned, Base):
    """Liking on the nine-point scale, six just-right scales (3 is just right), words, a note.

    `after_trial_id` is the blind trial whose cups are tasted again, now that its key is known.
    """

    __tablename__ = "tasting"
    __table_args__ = (
        at_most("note"),
        between("liking", bounds.LIKING),
        *(between(f"jar_{scale}", bounds.JUST_RIGHT) for scale in JUST_RIGHT_SCALES),
        at_most("words", WORDS_CHARS),
        CheckConstraint("after_trial_id IS NULL OR NOT blind", name="after_the_key_is_sighted"),
        Index("ix_tasting_brew_id_id", "brew_id", "id"),
        Index("ix_tasting_tasted_at_id", "tasted_at", "id"),
        Index("ix_tasting_liking_tasted_at", "liking", "tasted_at", "id"),
        # Only what is in the bin: a plain index would tempt SQLite to read all the others by it.
        Index("ix_tasting_binned_at", "binned_at", sqlite_where=text("binned_at IS NOT NULL")),
        Index(
            "ix_tasting_after_trial_id",
            "after_trial_id",
            sqlite_where=text("after_trial_id IS NOT NULL"),
        ),
    )

    entry_key: Mapped[str] = mapped_column(String(36), unique=True)
    brew_id: Mapped[int] = mapped_column(ForeignKey("brew.id"))
    taster_id: Mapped[int] = mapped_column(ForeignKey("taster.id"), index=True)
    tasted_at: Mapped[datetime]
    zone: Mapped[str] = mapped_column(String(60))
    blind: Mapped[bool] = mapped_column(default=False)
    liking: Mapped[int | None]
    jar_strength: Mapped[int | None]
    jar_sweetness: Mapped[int | None]
    jar_acidity: Mapped[int | None]
    jar_bitterness: Mapped[int | None]
    jar_body: Mapped[int | None]
    jar_clarity: Mapped[int | None]
    words: Mapped[str] = mapped_column(String(WORDS_CHARS), default="")
    note: Mapped[Note]
    after_trial_id: Mapped[int | None] = mapped_column(ForeignKey("trial.id"))
    text_search: Mapped[str] = mapped_column(Text, default="")

    brew: Mapped[Brew] = relationship(lazy="raise")
    taster: Mapped[Taster] = relationship(lazy="raise")


class SideBySide(Binned, Base):
    """Two brews compared and the comparison kept: which was preferred, and why."""

    __tablename__ = "side_by_side"
    __table_args__ = (
        at_most("note"),
        CheckConstraint("brew_a_id <> brew_b_id", name="two_brews"),
        one_of("preference", PREFERENCES),
        Index("ix_side_by_side_saved_at_id", "saved_at", "id"),
    )

    brew_a_id: Mapped[int] = mapped_column(ForeignKey("brew.id"), index=True)
    brew_b_id: Mapped[int] = mapped_column(ForeignKey("brew.id"), index=True)
    saved_at: Mapped[datetime]
    preference: Mapped[str | None] = mapped_column(String(7))
    note: Mapped[Note]

    brew_a: Mapped[Brew] = relationship(lazy="raise", foreign_keys=brew_a_id)
    brew_b: Mapped[Brew] = relationship(lazy="raise", foreign_keys=brew_b_id)
