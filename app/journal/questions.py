"""Which questions a brew, a side by side or a blind test stands under."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

from sqlalchemy import exists, select
from sqlalchemy.orm import InstrumentedAttribute, Session

from app.journal.rows import rows_as
from app.models import (
    BlindTest,
    Brew,
    Question,
    QuestionBlindTest,
    QuestionBrew,
    QuestionSideBySide,
    SideBySide,
)

MOST_OFFERED = 50

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
