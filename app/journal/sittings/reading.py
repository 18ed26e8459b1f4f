"""Reading sittings: their questions and cups, their lines, the list of them."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import Select, and_, bindparam, func, select
from sqlalchemy.orm import Session

from app.brewing.sitting.wanted import FilterWanted
from app.journal.paging import Page, read_page
from app.journal.rows import Query, columns_of, rows_as
from app.journal.sittings.cups import Asked, CupLike
from app.models import (
    BlindTest,
    Brew,
    Question,
    Sitting,
    SittingBrew,
    SittingCup,
    SittingFilter,
    SittingLine,
    SittingQuestion,
    SittingTick,
)
from app.sensory.terms import Letter

MOST_OPEN = 20


class QuestionRow(NamedTuple):
    """A question of a sitting. `question_binned_at` tells one that was put in the bin;
    `draws_alone`: a trial of its test can be drawn without saying for whom, or packing first."""

    id: int
    sitting_id: int
    question_id: int
    pair: bool
    test_id: int | None
    text: str
    state: str
    question_binned_at: datetime | None
    draws_alone: bool | None


class LineRow(NamedTuple):
    """A line as it was planned, and what was done to it by hand."""

    id: int
    sitting_id: int
    place: int
    sitting_question_id: int
    kind: str
    lasts_s: int
    of_place: int | None
    trial: int | None
    cups: int
    says: str
    ticked_at: datetime | None
    skipped_at: datetime | None
    skipped_why: str


def questions_of(session: Session, sitting_ids: Iterable[int]) -> list[QuestionRow]:
    """The questions of these sittings in their order."""
    return rows_as(QuestionRow, session, _questions(), {"ids": list(sitting_ids)})


@cache
def _questions() -> Query:
    question = {
        "text": Question.text, "state": Question.state,
        "question_binned_at": Question.binned_at,
        "draws_alone": and_(~BlindTest.several_tasters, BlindTest.pouring != "coded"),
    }  # fmt: skip
    return (
        select(*columns_of(QuestionRow, SittingQuestion, **question))
        .join(Question, Question.id == SittingQuestion.question_id)
        .outerjoin(BlindTest, BlindTest.id == SittingQuestion.test_id)
        .where(SittingQuestion.sitting_id.in_(bindparam("ids", expanding=True)))
        .order_by(SittingQuestion.sitting_id, SittingQuestion.place)
    )


def lines_of(session: Session, sitting_id: int) -> list[LineRow]:
    return rows_as(LineRow, session, _lines(), {"sitting_id": sitting_id})


@cache
def _lines() -> Query:
    return (
        select(*columns_of(LineRow, SittingLine))
        .where(SittingLine.sitting_id == bindparam("sitting_id"))
        .order_by(SittingLine.place)
    )


def asked_of(session: Session, sitting_id: int) -> list[Asked]:
    """What a saved sitting was asked for, as it was planned."""
    cups = cups_of(session, sitting_id)
    of_trials = (
        select(SittingLine.sitting_question_id, func.count().label("trials"))
        .where(SittingLine.sitting_id == sitting_id, SittingLine.kind == "trial")
        .group_by(SittingLine.sitting_question_id)
    )
    trials = {row.sitting_question_id: row.trials for row in session.execute(of_trials)}
    return [
        Asked(row.question_id, cups.get(row.id, {}), row.pair, row.test_id, trials.get(row.id, 0))
        for row in questions_of(session, [sitting_id])
    ]


def cups_of(session: Session, sitting_id: int) -> dict[int, Mapping[Letter, CupLike]]:
    """Cups A and B by the number of their row in `sitting_question`."""
    of_sitting = SittingQuestion.sitting_id == sitting_id
    rows = session.execute(
        select(SittingCup)
        .join(SittingQuestion, SittingQuestion.id == SittingCup.sitting_question_id)
        .where(of_sitting)
        .order_by(SittingCup.letter)
    ).scalars()
    cups = list(rows)
    stacks: dict[int, list[FilterWanted]] = {}
    filters = (
        select(SittingFilter)
        .where(SittingFilter.cup_id.in_([cup.id for cup in cups]))
        .order_by(SittingFilter.cup_id, SittingFilter.position)
    )
    for one in session.scalars(filters):
        stacks.setdefault(one.cup_id, []).append(FilterWanted(one.pack_id, one.use_number))
    found: dict[int, dict[Letter, CupLike]] = {}
    for cup in cups:
        like = CupLike(cup.like_id, cup.changes, tuple(stacks.get(cup.id, ())))
        found.setdefault(cup.sitting_question_id, {})[cup.letter] = like
    return dict(found)


class ToBrew(NamedTuple):
    """A brew that a line still waits for."""

    place: int
    letter: Letter
    sitting_id: int
    sitting_question_id: int


def to_brew(session: Session, line_id: int) -> list[ToBrew]:
    """What is still to be brewed for a line, A before B; what lies in the bin is brewed again, and
    what a lot decides is not told here."""
    query = (
        select(
            SittingBrew.place,
            SittingBrew.letter,
            SittingLine.sitting_id,
            SittingLine.sitting_question_id,
        )
        .join(SittingLine, SittingLine.id == SittingBrew.line_id)
        .outerjoin(Brew, Brew.id == SittingBrew.brew_id)
        .where(
            SittingBrew.line_id == line_id,
            SittingBrew.letter.is_not(None),
            SittingBrew.brew_id.is_(None) | Brew.binned_at.is_not(None),
        )
        .order_by(SittingBrew.letter, SittingBrew.place)
    )
    return rows_as(ToBrew, session, query)


def ticks_of(session: Session, sitting_id: int) -> set[str]:
    """Keys of what was ticked by hand as ready."""
    return set(
        session.scalars(select(SittingTick.need).where(SittingTick.sitting_id == sitting_id))
    )


def under_way(session: Session, most: int = MOST_OPEN) -> list[Sitting]:
    """Sittings that nobody has closed, the newest first, those in the bin left out."""
    return list(session.scalars(_under_way(), {"most": most}))


@cache
def _under_way() -> Select[Sitting]:
    """Created once: the first page asks for it every time."""
    query = select(Sitting).where(Sitting.ended_at.is_(None), Sitting.binned_at.is_(None))
    return query.order_by(Sitting.planned_at.desc(), Sitting.id.desc()).limit(bindparam("most"))


def ended_page(session: Session, args: Mapping[str, str]) -> Page[Sitting]:
    ended = (Sitting.ended_at.is_not(None), Sitting.binned_at.is_(None))
    return read_page(
        lambda query: session.scalars(query).all(),
        select(Sitting).where(*ended),
        Sitting.planned_at,
        Sitting.id,
        lambda row: (row.planned_at, row.id),
        args,
    )


def planned_question_ids(session: Session) -> set[int]:
    """Questions in a sitting that is under way."""
    query = (
        select(SittingQuestion.question_id)
        .join(Sitting, Sitting.id == SittingQuestion.sitting_id)
        .where(Sitting.ended_at.is_(None), Sitting.binned_at.is_(None))
        .distinct()
    )
    return set(session.scalars(query))


def sitting_with_brews(session: Session, brew_ids: Iterable[int]) -> int | None:
    """The newest sitting under way that one of these brews was made for."""
    return session.scalar(
        _newest_under_way()
        .join(SittingLine, SittingLine.sitting_id == Sitting.id)
        .join(SittingBrew, SittingBrew.line_id == SittingLine.id)
        .where(SittingBrew.brew_id.in_(list(brew_ids)))
    )


def sitting_with_test(session: Session, test_id: int) -> int | None:
    """The newest sitting under way at which trials of this blind test are answered."""
    return session.scalar(
        _newest_under_way()
        .join(SittingQuestion, SittingQuestion.sitting_id == Sitting.id)
        .where(SittingQuestion.test_id == test_id)
    )


def _newest_under_way() -> Select[int]:
    query = select(Sitting.id).where(Sitting.ended_at.is_(None), Sitting.binned_at.is_(None))
    return query.order_by(Sitting.id.desc()).limit(1)


def sitting_with_question(session: Session, question_id: int) -> int | None:
    """The newest sitting under way that is to answer a question."""
    return session.scalar(
        _newest_under_way()
        .join(SittingQuestion, SittingQuestion.sitting_id == Sitting.id)
        .where(SittingQuestion.question_id == question_id)
    )
