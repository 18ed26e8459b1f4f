"""Questions of the practice, and what was gathered under each."""

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, String
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

QUESTION_STATES = ("open", "answered")


class Question(Binned, Base):
    """Such as "does a warmed mug make a better cup?"; `factor` is what it is about."""

    __tablename__ = "question"
    __table_args__ = (
        filled("text", WORDS_CHARS),
        at_most("factor", NAME_CHARS),
        at_most("answer"),
        one_of("state", QUESTION_STATES),
        CheckConstraint(
            "(state = 'answered') = (answered_at IS NOT NULL)", name="answered_has_time"
        ),
        CheckConstraint("state = 'open' OR length(trim(answer)) >= 1", name="answered_in_words"),
        Index("ix_question_asked_at_id", "asked_at", "id"),
    )

    text: Mapped[str] = mapped_column(String(WORDS_CHARS))
    factor: Mapped[Name] = mapped_column(default="")
    asked_at: Mapped[datetime]
    state: Mapped[str] = mapped_column(String(8), default="open")
    answer: Mapped[str] = mapped_column(String(NOTE_CHARS), default="")
    answered_at: Mapped[datetime | None]


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
