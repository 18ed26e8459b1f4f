"""Which answers there are to share."""

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.asks.reading import times_asked
from app.journal.rows import columns_of, rows_as
from app.models import Question

MOST_ANSWERS = 200
ORDERS = {"answered": "The last answered first", "asked": "The most often asked first"}


class AnsweredRow(NamedTuple):
    id: int
    text: str
    answered_at: datetime


def answered(session: Session, order: str) -> Sequence[AnsweredRow]:
    """The answered questions that are not in the bin, MOST_ANSWERS of them."""
    last = (Question.answered_at.desc(), Question.id.desc())
    query = (
        select(*columns_of(AnsweredRow, Question))
        .where(Question.state == "answered", Question.binned_at.is_(None))
        .order_by(*((times_asked().desc(),) if order == "asked" else ()), *last)
        .limit(MOST_ANSWERS)
    )
    return rows_as(AnsweredRow, session, query)
