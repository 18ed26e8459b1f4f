"""Which questions a brew, a side by side or a blind test stands under."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from sqlalchemy import exists, select
from sqlalchemy.orm import InstrumentedAttribute, Session

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

    link: Any
    column: InstrumentedAttribute[int]
    thing: Any


LINKED: dict[Kind, Linked] = {
    "brew": Linked(QuestionBrew, QuestionBrew.brew_id, Brew),
    "side_by_side": Linked(QuestionSideBySide, QuestionSideBySide.side_by_side_id, SideBySide),
    "blind_test": Linked(QuestionBlindTest, QuestionBlindTest.test_id, BlindTest),
}


@dataclass(frozen=True, slots=True)
class Asked:
    """The questions a thing belongs to, and open ones it could be put under."""

    kind: Kind
    row_id: int
    under: list[Any]
    others: list[Any]


def questions_of(session: Session, kind: Kind, row_id: int) -> Asked:
    """For the partial questions/_attach.html; one statement, however many there are."""
    tied = LINKED[kind]
    under = exists().where(tied.link.question_id == Question.id, tied.column == row_id)
    linked = under.label("linked")
    query = (
        select(Question.id, Question.text, Question.state, linked)
        .where(Question.binned_at.is_(None), under | (Question.state == "open"))
        .order_by(linked.desc(), Question.asked_at.desc(), Question.id.desc())
        .limit(MOST_OFFERED)
    )
    rows = session.execute(query).all()
    return Asked(kind, row_id, [r for r in rows if r.linked], [r for r in rows if not r.linked])
