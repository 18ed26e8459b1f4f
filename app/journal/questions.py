"""Questions, and the brews, side by sides and blind tests gathered under them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal, NamedTuple

from sqlalchemy import exists, func, select
from sqlalchemy.orm import InstrumentedAttribute, Session

from app.journal.blind.answered import first_answers
from app.journal.rows import rows_as
from app.models import (
    BlindTest,
    Brew,
    Question,
    QuestionBlindTest,
    QuestionBrew,
    QuestionLeftTest,
    QuestionSideBySide,
    SideBySide,
    Trial,
)

MOST_OFFERED = 50
A_SLIP = timedelta(hours=1)  # what was put somewhere by mistake is taken away again so soon
MOST_OF_A_KIND = 200
FULL = f"A question holds at most {MOST_OF_A_KIND} of a kind: ask a narrower one."

Kind = Literal["brew", "side_by_side", "blind_test"]


@dataclass(frozen=True, slots=True)
class Linked:
    """How a kind of thing is tied to questions: the table of links, its column, the thing."""

    link: type[QuestionBrew | QuestionSideBySide | QuestionBlindTest]
    column: InstrumentedAttribute[int]
    thing: type[Brew | SideBySide | BlindTest]


LINKED: dict[Kind, Linked] = {
    "brew": Linked(QuestionBrew, QuestionBrew.brew_id, Brew),
    "side_by_side": Linked(QuestionSideBySide, QuestionSideBySide.side_by_side_id, SideBySide),
    "blind_test": Linked(QuestionBlindTest, QuestionBlindTest.test_id, BlindTest),
}


class QuestionChoice(NamedTuple):
    id: int
    text: str
    state: str
    linked: bool


@dataclass(frozen=True, slots=True)
class QuestionsOf:
    """The questions a thing belongs to, and open ones it could be put under."""

    kind: Kind
    row_id: int
    under: list[QuestionChoice]
    others: list[QuestionChoice]


def questions_of(session: Session, kind: Kind, row_id: int) -> QuestionsOf:
    """For the partial questions/_attach.html; one statement, however many there are."""
    tied = LINKED[kind]
    linked = exists().where(tied.link.question_id == Question.id, tied.column == row_id)
    query = (
        select(Question.id, Question.text, Question.state, linked.label("linked"))
        .where(Question.binned_at.is_(None), linked | (Question.state == "open"))
        .order_by(linked.label("linked").desc(), Question.asked_at.desc(), Question.id.desc())
        .limit(MOST_OFFERED)
    )
    rows = rows_as(QuestionChoice, session, query)
    under, others = [r for r in rows if r.linked], [r for r in rows if not r.linked]
    return QuestionsOf(kind, row_id, under, others)


def open_questions(session: Session, also: int | None = None) -> list[tuple[int, str]]:
    """Questions to choose from, the last asked first, and `also` even if it is answered."""
    wanted = (Question.state == "open") | (Question.id == also)
    query = select(Question.id, Question.text).where(Question.binned_at.is_(None), wanted)
    newest = (Question.asked_at.desc(), Question.id.desc())
    rows = session.execute(query.order_by(Question.id != also, *newest).limit(MOST_OFFERED))
    return [(row.id, row.text) for row in rows]


def add_question(session: Session, text: str, factors: Sequence[str], now: datetime) -> Question:
    """A new question about `factors`, labels of a setup."""
    question = Question(text=text, factors=list(factors), asked_at=now)
    session.add(question)
    session.flush()
    return question


def write_answer(question: Question, answer: str, state: str, now: datetime) -> None:
    """The moment of answering stays while the question stays answered."""
    question.answer, question.state = answer, state
    question.answered_at = (question.answered_at or now) if question.state == "answered" else None


def tie(
    session: Session, question_id: int, kind: Kind, row_id: int, now: datetime | None = None
) -> None:
    """Put a thing under a question, once, and note when for a blind test (None: not known).

    A test that had been taken away and still counts is there since it was first put there. Raises
    LookupError if either is missing, ValueError with a sentence if there are too many.
    """
    tied = LINKED[kind]
    # Whoever ties another thing at this moment waits, and then finds this one.
    question = session.get(Question, question_id, with_for_update=True)
    if question is None or session.get(tied.thing, row_id) is None:
        raise LookupError(question_id, row_id)
    if session.get(tied.link, (question_id, row_id)) is not None:
        return
    tied_already = select(func.count()).where(tied.link.question_id == question_id)
    if (session.scalar(tied_already) or 0) >= MOST_OF_A_KIND:
        raise ValueError(FULL)
    link = tied.link(**{"question_id": question_id, tied.column.key: row_id})
    if isinstance(link, QuestionBlindTest):
        left = session.get(QuestionLeftTest, (question_id, row_id))
        link.tied_at = left.tied_at if left else now
        if left:
            session.delete(left)
    session.add(link)


def untie(
    session: Session, question_id: int, kind: Kind, row_id: int, now: datetime | None = None
) -> bool:
    """Whether the thing was under the question, and is no longer.

    A blind test that had an answer still counts there, or else whoever takes away what does not
    suit would clean the question; but not where it was put there after that, and just by mistake.
    """
    link = session.get(LINKED[kind].link, (question_id, row_id))
    if isinstance(link, QuestionBlindTest):
        first = session.execute(first_answers().where(Trial.test_id == row_id)).one_or_none()
        if first and not _is_a_slip(link.tied_at, first.answered_at, now):
            left = {"question_id": question_id, "test_id": row_id, "tied_at": link.tied_at}
            session.add(QuestionLeftTest(**left))
    if link is not None:
        session.delete(link)
    return link is not None


def _is_a_slip(tied_at: datetime | None, answered_at: datetime, now: datetime | None) -> bool:
    return bool(tied_at and now and tied_at > answered_at and now - tied_at <= A_SLIP)
