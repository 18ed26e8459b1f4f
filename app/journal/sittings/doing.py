"""What was done at a sitting, within the caller's transaction.

Every step happens once or not at all, whichever of several devices takes it: what is done stays as
it is, and is not noted again.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session, aliased

from app.journal.history import Thing, hold, record_done
from app.journal.questions import Kind, tie
from app.journal.sittings.reading import to_brew
from app.models import (
    Brew,
    Question,
    SideBySide,
    Sitting,
    SittingBrew,
    SittingLine,
    SittingQuestion,
    SittingTick,
)
from app.models.sittings import NEED_CHARS

BREWED_BEFORE = (
    "This line has its brew already: what you saved is in the journal, and no part of the sitting."
)
GONE = "The question of this line is in the bin, so nothing was put under it."


def brewed(session: Session, line_id: int, brew_ids: Sequence[int], now: datetime) -> list[str]:
    """Note what was brewed for a line, A before B, and put it under the line's question.

    Sentences say what could not be. LookupError where there is no such line.
    """
    line, asked = _held(session, line_id)
    wanted = to_brew(session, line_id)
    if len(wanted) < len(brew_ids):
        return [BREWED_BEFORE]
    for row, brew_id in zip(wanted, brew_ids, strict=False):
        made = session.get_one(SittingBrew, (line_id, row.place), populate_existing=True)
        made.brew_id, made.made_at = brew_id, now
    _unskip(line)
    return _put(session, asked.question_id, "brew", brew_ids, now)


def can_take(session: Session, brew_ids: Sequence[int]) -> bool:
    """Whether all these brews are in the journal, not in its bin."""
    query = select(Brew.id).where(Brew.id.in_(brew_ids), Brew.binned_at.is_(None))
    return len(session.scalars(query).all()) == len(brew_ids)


def compared(session: Session, saved: SideBySide, now: datetime) -> None:
    """Put a saved side by side under the question that its two brews were brewed for as a pair."""
    a, b = (aliased(SittingBrew) for _ in "AB")
    line_a, line_b = (aliased(SittingLine) for _ in "AB")
    query = (
        select(SittingQuestion.question_id)
        .join(line_a, line_a.sitting_question_id == SittingQuestion.id)
        .join(line_b, line_b.sitting_question_id == SittingQuestion.id)
        .join(a, a.line_id == line_a.id)
        .join(b, b.line_id == line_b.id)
        .join(Sitting, Sitting.id == SittingQuestion.sitting_id)
        .where(
            SittingQuestion.pair, Sitting.binned_at.is_(None),
            a.brew_id == saved.brew_a_id, b.brew_id == saved.brew_b_id, a.letter != b.letter,
        )
        .distinct()
    )  # fmt: skip
    session.flush()
    for question_id in session.scalars(query).all():
        _put(session, question_id, "side_by_side", [saved.id], now)


def test_planned(session: Session, line_id: int, test_id: int) -> None:
    """The blind test of a line's question stands. LookupError where there is no such line."""
    _, asked = _held(session, line_id)
    asked.test_id = asked.test_id or test_id


def tick(session: Session, line_id: int, now: datetime) -> None:
    line, _ = _held(session, line_id)
    line.ticked_at = line.ticked_at or now
    _unskip(line)


def skip(session: Session, line_id: int, why: str, now: datetime) -> None:
    line, _ = _held(session, line_id)
    if line.skipped_at is None:
        line.skipped_at, line.skipped_why = now, why
        record_done(session.get_one(Sitting, line.sitting_id), f"line {line.place} skipped")


def take_up(session: Session, line_id: int) -> None:
    """Take back that a line was skipped, or ticked by hand."""
    line, _ = _held(session, line_id)
    line.ticked_at = None
    if line.skipped_at is not None:
        record_done(session.get_one(Sitting, line.sitting_id), f"line {line.place} taken up again")
    _unskip(line)


def is_need(need: str) -> bool:
    """Whether this can be the key of something that has to be ready."""
    return bool(need.strip()) and len(need) <= NEED_CHARS


def tick_need(session: Session, sitting_id: int, need: str, now: datetime, *, ready: bool) -> None:
    """Note by hand that something is ready, or that it is not."""
    hold(session, [Thing("sitting", sitting_id)])
    row = session.get(SittingTick, (sitting_id, need), populate_existing=True)
    if ready and row is None:
        session.add(SittingTick(sitting_id=sitting_id, need=need, ticked_at=now))
    if not ready and row is not None:
        session.delete(row)


def end(session: Session, sitting: Sitting, now: datetime) -> None:
    """Close a sitting; its questions are planned no longer."""
    _hold_and_read(session, sitting)
    if sitting.ended_at is None:
        sitting.ended_at = now
        record_done(sitting, "ended")


def take_up_sitting(session: Session, sitting: Sitting) -> None:
    _hold_and_read(session, sitting)
    if sitting.ended_at is not None:
        sitting.ended_at = None
        record_done(sitting, "taken up again")


def _hold_and_read(session: Session, sitting: Sitting) -> None:
    hold(session, [Thing("sitting", sitting.id)])
    session.refresh(sitting)


def _held(session: Session, line_id: int) -> tuple[SittingLine, SittingQuestion]:
    """The line as it stands and its question, alone with its sitting."""
    sitting_id = session.scalar(select(SittingLine.sitting_id).where(SittingLine.id == line_id))
    if sitting_id is None:
        raise LookupError(line_id)
    hold(session, [Thing("sitting", sitting_id)])
    line = session.get_one(SittingLine, line_id, populate_existing=True)
    asked = session.get_one(SittingQuestion, line.sitting_question_id, populate_existing=True)
    return line, asked


def _unskip(line: SittingLine) -> None:
    line.skipped_at, line.skipped_why = None, ""


def _put(
    session: Session, question_id: int, kind: Kind, row_ids: Iterable[int], now: datetime
) -> list[str]:
    if session.get_one(Question, question_id).binned_at is not None:
        return [GONE]
    try:
        for row_id in row_ids:
            tie(session, question_id, kind, row_id, now)
    except ValueError as full:
        return [str(full)]
    return []
