"""Questions of the practice, who asked them in which words, and what was gathered under each."""

from datetime import date, datetime

from sqlalchemy import JSON, CheckConstraint, ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from app.models.base import (
    NAME_CHARS,
    NOTE_CHARS,
    WORDS_CHARS,
    Base,
    Binned,
    Name,
    at_most,
    filled,
    one_of,
)

ASK_CHARS = 1000
# A question in a sitting that is not over is "planned" besides; that is read, not stored.
QUESTION_STATES = ("open", "answered", "set aside")


class Question(Binned, Base):
    """Such as "does a warmed mug make a better cup?"; `factors` are what it is about, as labels of
    a setup (`journal/pairs/setup.py`)."""

    __tablename__ = "question"
    __table_args__ = (
        filled("text", WORDS_CHARS),
        at_most("answer"),
        one_of("state", QUESTION_STATES),
        CheckConstraint(
            "(state = 'answered') = (answered_at IS NOT NULL)", name="answered_has_time"
        ),
        CheckConstraint(
            "state <> 'answered' OR length(trim(answer)) >= 1", name="answered_in_words"
        ),
        Index("ix_question_asked_at_id", "asked_at", "id"),
    )

    text: Mapped[str] = mapped_column(String(WORDS_CHARS))
    factors: Mapped[list[str]] = mapped_column(JSON, default=list)
    asked_at: Mapped[datetime]
    state: Mapped[str] = mapped_column(String(9), default="open")
    answer: Mapped[str] = mapped_column(String(NOTE_CHARS), default="")
    answered_at: Mapped[datetime | None]


class Ask(Binned, Base):
    """Somebody asked something once: in these words, that day, from there ("the Tuesday class").

    It stands in the inbox until it is gathered under a question. Without words it only counts.
    """

    __tablename__ = "ask"
    __table_args__ = (
        at_most("text", ASK_CHARS),
        at_most("source", NAME_CHARS),
        CheckConstraint("question_id IS NOT NULL OR length(trim(text)) >= 1", name="in_words"),
    )

    text: Mapped[str] = mapped_column(String(ASK_CHARS), default="")
    asked_on: Mapped[date]
    source: Mapped[Name] = mapped_column(default="")
    noted_at: Mapped[datetime]
    question_id: Mapped[int | None] = mapped_column(ForeignKey("question.id"), index=True)


class QuestionBrew(Base):
    __tablename__ = "question_brew"

    question_id: Mapped[int] = mapped_column(ForeignKey("question.id"), primary_key=True)
    brew_id: Mapped[int] = mapped_column(ForeignKey("brew.id"), primary_key=True, index=True)


class QuestionSideBySide(Base):
    __tablename__ = "question_side_by_side"

    question_id: Mapped[int] = mapped_column(ForeignKey("question.id"), primary_key=True)
    side_by_side_id: Mapped[int] = mapped_column(
        ForeignKey("side_by_side.id"), primary_key=True, index=True
    )


class QuestionBlindTest(Base):
    """When it was put there is None for those put there before that was noted."""

    __tablename__ = "question_blind_test"

    question_id: Mapped[int] = mapped_column(ForeignKey("question.id"), primary_key=True)
    test_id: Mapped[int] = mapped_column(ForeignKey("blind_test.id"), primary_key=True, index=True)
    tied_at: Mapped[datetime | None]


class QuestionLeftTest(Base):
    """A blind test that was taken from a question after it had been answered: it still counts."""

    __tablename__ = "question_left_test"

    question_id: Mapped[int] = mapped_column(ForeignKey("question.id"), primary_key=True)
    test_id: Mapped[int] = mapped_column(ForeignKey("blind_test.id"), primary_key=True, index=True)
    tied_at: Mapped[datetime | None]
