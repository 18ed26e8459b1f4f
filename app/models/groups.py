"""Two groups of cups that were put under a question."""

from datetime import datetime

from sqlalchemy import ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.models.base import NOTE_CHARS, Base, at_most, filled

QUERY_CHARS = 1000


class QuestionGroups(Base):
    """A comparison of groups by the query of its address, and what was read of it on that day.

    `words` say who is in A and in B, `said` what was found; what the page says today may differ.
    """

    __tablename__ = "question_groups"
    __table_args__ = (
        UniqueConstraint("question_id", "query"),
        filled("query", QUERY_CHARS),
        filled("words", NOTE_CHARS),
        at_most("said", NOTE_CHARS),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    question_id: Mapped[int] = mapped_column(ForeignKey("question.id"))
    query: Mapped[str] = mapped_column(String(QUERY_CHARS))
    words: Mapped[str] = mapped_column(String(NOTE_CHARS))
    said: Mapped[str] = mapped_column(String(NOTE_CHARS))
    tied_at: Mapped[datetime]
