"""Reading what is tied to a question: its brews and its saved side by sides."""

from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import ColumnElement, and_, select
from sqlalchemy.orm import Session

from app.journal.questions import LINKED, Kind
from app.journal.rows import columns_of, rows_as
from app.models import Brew, QuestionBrew, QuestionSideBySide, SideBySide


class TiedPair(NamedTuple):
    """A saved side by side under a question."""

    id: int
    brew_a_id: int
    brew_b_id: int
    saved_at: datetime
    preference: str
    note: str
    binned_at: datetime | None


@dataclass(frozen=True, slots=True)
class Tied:
    """Brews and side by sides tied to a question, in order of time; how many are in the bin."""

    brew_ids: list[int]
    pairs: list[TiedPair]
    binned_pairs: list[TiedPair]
    in_the_bin: int


def tied_to(session: Session, question_id: int) -> Tied:
    brews = session.execute(
        select(Brew.id, Brew.binned_at)
        .join(QuestionBrew, _link("brew", question_id))
        .order_by(Brew.brewed_at, Brew.id)
    ).all()
    pairs = rows_as(
        TiedPair,
        session,
        select(*columns_of(TiedPair, SideBySide))
        .join(QuestionSideBySide, _link("side_by_side", question_id))
        .order_by(SideBySide.saved_at, SideBySide.id),
    )
    binned_pairs = [row for row in pairs if row.binned_at]
    return Tied(
        [row.id for row in brews if not row.binned_at],
        [row for row in pairs if not row.binned_at],
        binned_pairs,
        sum(row.binned_at is not None for row in brews) + len(binned_pairs),
    )


def _link(kind: Kind, question_id: int) -> ColumnElement[bool]:
    tied = LINKED[kind]
    return and_(tied.column == tied.thing.id, tied.link.question_id == question_id)
