"""Sittings: the questions of one, its lines in order, and what each of them made."""

from datetime import datetime

from sqlalchemy import JSON, CheckConstraint, ForeignKey, Index, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.models.base import WORDS_CHARS, Base, Binned, at_most, between, filled, one_of
from app.sensory.terms import LETTERS, Letter

LINE_KINDS = ("brew", "cool", "taste", "trial", "rest")
KIND_CHARS = 5
NEED_CHARS = 60
LASTS_S = (0, 86400)
TRIAL = (1, 100)
CUPS = (0, 100)


class Sitting(Binned, Base):
    """What is answered at one table; `ended_at` is when somebody closed it before its last line."""

    __tablename__ = "sitting"
    __table_args__ = (
        UniqueConstraint("entry_key"),
        Index("ix_sitting_planned_at_id", "planned_at", "id"),
    )

    entry_key: Mapped[str] = mapped_column(String(36))
    planned_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]


class SittingQuestion(Base):
    """A question of a sitting: its two cups as a `pair`, trials of `test_id`, or both."""

    __tablename__ = "sitting_question"
    __table_args__ = (
        UniqueConstraint("sitting_id", "question_id"),
        UniqueConstraint("sitting_id", "place"),
        CheckConstraint("place >= 1", name="place_counts"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    sitting_id: Mapped[int] = mapped_column(ForeignKey("sitting.id"))
    place: Mapped[int]
    question_id: Mapped[int] = mapped_column(ForeignKey("question.id"), index=True)
    pair: Mapped[bool]
    test_id: Mapped[int | None] = mapped_column(ForeignKey("blind_test.id"), index=True)


class SittingCup(Base):
    """Cup A or B of a question: made like a brew but for `changes`, fields of a brew with the value
    each has instead, in the stored units."""

    __tablename__ = "sitting_cup"
    __table_args__ = (UniqueConstraint("sitting_question_id", "letter"), one_of("letter", LETTERS))

    id: Mapped[int] = mapped_column(primary_key=True)
    sitting_question_id: Mapped[int] = mapped_column(ForeignKey("sitting_question.id"))
    letter: Mapped[Letter] = mapped_column(String(1))
    like_id: Mapped[int] = mapped_column(ForeignKey("brew.id"), index=True)
    changes: Mapped[dict[str, str | float | int | bool | None]] = mapped_column(JSON)


class SittingFilter(Base):
    """A filter of a cup's stack, of a pack; `use_number` is the use wanted (None: any)."""

    __tablename__ = "sitting_filter"
    __table_args__ = (
        CheckConstraint("position BETWEEN 1 AND 3", name="position_range"),
        CheckConstraint("use_number >= 1", name="use_counts"),
    )

    cup_id: Mapped[int] = mapped_column(ForeignKey("sitting_cup.id"), primary_key=True)
    position: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    pack_id: Mapped[int] = mapped_column(ForeignKey("filter_pack.id"), index=True)
    use_number: Mapped[int | None]


class SittingLine(Base):
    """One thing to do, the lines of a sitting in the order of `place`.

    `of_place` is the place of the first brew line whose cups it tastes. `trial` counts the trials
    of its question's blind test at this sitting. `ticked_at`: somebody ticked it by hand.
    """

    __tablename__ = "sitting_line"
    __table_args__ = (
        UniqueConstraint("sitting_id", "place"),
        CheckConstraint("place >= 1", name="place_counts"),
        CheckConstraint("of_place < place", name="of_an_earlier"),
        one_of("kind", LINE_KINDS),
        between("lasts_s", LASTS_S),
        between("trial", TRIAL),
        between("cups", CUPS),
        CheckConstraint("(kind = 'trial') = (trial IS NOT NULL)", name="trial_is_counted"),
        at_most("says", WORDS_CHARS),
        at_most("skipped_why", WORDS_CHARS),
        CheckConstraint("(skipped_at IS NULL) = (skipped_why = '')", name="skipped_with_reason"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    sitting_id: Mapped[int] = mapped_column(ForeignKey("sitting.id"))
    place: Mapped[int]
    sitting_question_id: Mapped[int] = mapped_column(ForeignKey("sitting_question.id"), index=True)
    kind: Mapped[str] = mapped_column(String(KIND_CHARS))
    lasts_s: Mapped[int]
    of_place: Mapped[int | None]
    trial: Mapped[int | None]
    cups: Mapped[int] = mapped_column(default=0)
    says: Mapped[str] = mapped_column(String(WORDS_CHARS), default="")
    ticked_at: Mapped[datetime | None]
    skipped_at: Mapped[datetime | None]
    skipped_why: Mapped[str] = mapped_column(String(WORDS_CHARS), default="")


class SittingBrew(Base):
    """A brew that a line makes, `brew_id` once it is made, and when that was noted.

    The letter is None where the key of a trial decides whether it is an A or a B: the line never
    knows which it was.
    """

    __tablename__ = "sitting_brew"
    __table_args__ = (
        one_of("letter", LETTERS),
        CheckConstraint("place BETWEEN 1 AND 2", name="place_range"),
        CheckConstraint("letter IS NOT NULL OR brew_id IS NULL", name="by_lot_is_not_told"),
        CheckConstraint("(brew_id IS NULL) = (made_at IS NULL)", name="made_has_time"),
    )

    line_id: Mapped[int] = mapped_column(ForeignKey("sitting_line.id"), primary_key=True)
    place: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    letter: Mapped[Letter | None] = mapped_column(String(1))
    brew_id: Mapped[int | None] = mapped_column(ForeignKey("brew.id"), index=True)
    made_at: Mapped[datetime | None]


class SittingTick(Base):
    """Something that has to be ready, ticked by hand; `need` is its key (`sittings/needs.py`)."""

    __tablename__ = "sitting_tick"
    __table_args__ = (filled("need", NEED_CHARS),)

    sitting_id: Mapped[int] = mapped_column(ForeignKey("sitting.id"), primary_key=True)
    need: Mapped[str] = mapped_column(String(NEED_CHARS), primary_key=True)
    ticked_at: Mapped[datetime]
