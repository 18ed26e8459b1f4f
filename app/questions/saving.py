"""Writing questions and what is tied to them, within the caller's transaction."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.journal.questions import LINKED, Kind
from app.models import Question
from app.questions.forms import AnswerForm, QuestionForm

MOST_OF_A_KIND = 200
FULL = f"A question holds at most {MOST_OF_A_KIND} of a kind: ask a narrower one."


def add(session: Session, form: QuestionForm, now: datetime) -> Question:
    question = Question(text=form.text.data, factor=form.factor.data, asked_at=now)
    session.add(question)
    session.flush()
    return question


def answer(question: Question, form: AnswerForm, now: datetime) -> None:
    """Keep the answer; the moment of answering stays while the question stays answered."""
    question.answer, question.state = form.answer.data or "", form.state.data
    question.answered_at = (question.answered_at or now) if question.state == "answered" else None


def tie(session: Session, question_id: int, kind: Kind, row_id: int) -> None:
    """Put a thing under a question, once.

    Raises LookupError if either is missing, ValueError with a sentence if there are too many.
    """
    tied = LINKED[kind]
    if session.get(Question, question_id) is None or session.get(tied.thing, row_id) is None:
        raise LookupError(question_id, row_id)
    if session.get(tied.link, (question_id, row_id)) is not None:
        return
    held = select(func.count()).where(tied.link.question_id == question_id)
    if (session.scalar(held) or 0) >= MOST_OF_A_KIND:
        raise ValueError(FULL)
    session.add(tied.link(**{"question_id": question_id, tied.column.key: row_id}))


def untie(session: Session, question_id: int, kind: Kind, row_id: int) -> bool:
    """Whether the thing was under the question, and is no longer."""
    link = session.get(LINKED[kind].link, (question_id, row_id))
    if link is not None:
        session.delete(link)
    return link is not None
