"""Saving the plan of a sitting, within the caller's transaction; see doing.py for what is done."""

from collections.abc import Sequence
from datetime import datetime
from uuid import uuid4

from sqlalchemy.orm import Session

from app.brewing.sitting.plan import Line
from app.journal.sittings.cups import Asked
from app.models import Sitting, SittingBrew, SittingCup, SittingFilter, SittingLine, SittingQuestion


def add_sitting(
    session: Session, asked: Sequence[Asked], lines: Sequence[Line], now: datetime, key: str = ""
) -> Sitting:
    """A sitting as it was planned, named by the `key` of its form."""
    sitting = Sitting(entry_key=key or str(uuid4()), planned_at=now)
    session.add(sitting)
    session.flush()
    ids = {
        one.question_id: _add_question(session, sitting.id, place, one)
        for place, one in enumerate(asked, 1)
    }
    for place, line in enumerate(lines, 1):
        _add_line(session, sitting.id, place, line, ids[line.question_id])
    return sitting


def _add_question(session: Session, sitting_id: int, place: int, asked: Asked) -> int:
    row = SittingQuestion(
        sitting_id=sitting_id,
        place=place,
        question_id=asked.question_id,
        pair=asked.pair,
        test_id=asked.test_id,
    )
    session.add(row)
    session.flush()
    for letter, like in asked.cups.items():
        cup = SittingCup(
            sitting_question_id=row.id,
            letter=letter,
            like_id=like.like_id,
            changes=dict(like.changes),
        )
        session.add(cup)
        session.flush()
        session.add_all(
            SittingFilter(cup_id=cup.id, position=position, pack_id=one.pack_id, use_number=one.use)
            for position, one in enumerate(like.filters, 1)
        )
    return row.id


def _add_line(
    session: Session, sitting_id: int, place: int, line: Line, sitting_question_id: int
) -> None:
    row = SittingLine(
        sitting_id=sitting_id,
        place=place,
        sitting_question_id=sitting_question_id,
        kind=line.kind,
        lasts_s=line.lasts_s,
        of_place=None if line.of is None else line.of + 1,
        trial=line.trial,
        cups=line.cups,
        says=line.says,
    )
    session.add(row)
    session.flush()
    session.add_all(
        SittingBrew(line_id=row.id, place=number, letter=brew.letter)
        for number, brew in enumerate(line.brews, 1)
    )
