"""What the journal has of the lines of a sitting: brews, tastings, side by sides, trials.

Nothing of a trial's key is read.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import BindParameter, bindparam, func, select
from sqlalchemy.orm import Session

from app.journal.blind.open import OpenTrial, trials_by_test
from app.journal.rows import Query, columns_of, rows_as
from app.journal.sittings.reading import LineRow, QuestionRow
from app.journal.tastings import counted
from app.models import Brew, SideBySide, Sitting, SittingBrew, SittingLine, Tasting
from app.sensory.terms import Letter


class MadeRow(NamedTuple):
    """A brew of a line: what it is, and what was made. `binned_at` tells one in the bin."""

    line_id: int
    place: int
    letter: Letter | None
    brew_id: int | None
    made_at: datetime | None
    binned_at: datetime | None

    @property
    def is_there(self) -> bool:
        return self.brew_id is not None and self.binned_at is None


@dataclass(frozen=True, slots=True)
class Facts:
    """`trials` are by line, `tasted` by brew, `compared` by two brews, the lower number first."""

    rows: Sequence[LineRow]
    questions: Mapping[int, QuestionRow]
    brews: Mapping[int, list[MadeRow]]
    tasted: Mapping[int, datetime]
    compared: Mapping[tuple[int, ...], datetime]
    trials: Mapping[int, OpenTrial]

    def brews_of(self, row: LineRow) -> list[MadeRow]:
        """Those a line makes, or those it tastes."""
        if row.kind == "brew":
            return self.brews.get(row.id, [])
        lines = [one for one in self.rows if self._is_tasted_by(row, one)]
        return [brew for one in lines for brew in self.brews.get(one.id, [])]

    def _is_tasted_by(self, row: LineRow, one: LineRow) -> bool:
        """Brew lines of one question follow each other where there are not two brewers."""
        if row.of_place is None or one.kind != "brew":
            return False
        between = row.of_place <= one.place < row.place
        later = self.rows[row.of_place : one.place - 1]
        follows = all(other.kind == "brew" for other in later)
        return between and follows and one.sitting_question_id == row.sitting_question_id

    def brewed_at(self, row: LineRow) -> datetime | None:
        """When the last of a line's brews was made; one that a lot decides, when it was served."""
        times: list[datetime | None] = []
        for brew in self.brews.get(row.id, []):
            if brew.letter is None:
                times.append(self._served_at(row))
            else:
                times.append(brew.made_at if brew.is_there else None)
        return _last(times)

    def _served_at(self, row: LineRow) -> datetime | None:
        """When the first trial that is poured from this line was served."""
        tasting = (one for one in self.rows if one.kind == "trial" and self._is_tasted_by(one, row))
        trial = self.trials.get(next((one.id for one in tasting), 0))
        return trial.served_at if trial else None

    def tasted_at(self, brews: Sequence[MadeRow]) -> datetime | None:
        there = [brew.brew_id for brew in brews if brew.is_there]
        if len(there) < len(brews):
            return None
        return _last([self.tasted.get(brew_id or 0) for brew_id in there])

    def compared_at(self, brews: Sequence[MadeRow]) -> datetime | None:
        return self.compared.get(tuple(sorted(brew.brew_id or 0 for brew in brews)))

    def tasted_and_compared_at(self, row: LineRow) -> datetime | None:
        brews = self.brews_of(row)
        times = [self.tasted_at(brews)]
        if self.questions[row.sitting_question_id].pair:
            times.append(self.compared_at(brews))
        return _last(times)


def read(
    session: Session,
    sitting: Sitting,
    rows: Sequence[LineRow],
    questions: Mapping[int, QuestionRow],
) -> Facts:
    """Five statements, however long the sitting is."""
    made = _made(session, sitting.id)
    brew_ids = [brew.brew_id for brew in made if brew.brew_id is not None]
    by_line: dict[int, list[MadeRow]] = {}
    for brew in made:
        by_line.setdefault(brew.line_id, []).append(brew)
    return Facts(
        rows=rows,
        questions=questions,
        brews=by_line,
        tasted=_tasted(session, brew_ids),
        compared=_compared(session, brew_ids),
        trials=_trials(session, sitting, rows, questions),
    )


def _made(session: Session, sitting_id: int) -> list[MadeRow]:
    return rows_as(MadeRow, session, _made_query(), {"sitting_id": sitting_id})


@cache
def _made_query() -> Query:
    return (
        select(*columns_of(MadeRow, SittingBrew, binned_at=Brew.binned_at))
        .join(SittingLine, SittingLine.id == SittingBrew.line_id)
        .outerjoin(Brew, Brew.id == SittingBrew.brew_id)
        .where(SittingLine.sitting_id == bindparam("sitting_id"))
        .order_by(SittingBrew.line_id, SittingBrew.place)
    )


def _tasted(session: Session, brew_ids: Sequence[int]) -> dict[int, datetime]:
    if not brew_ids:
        return {}
    return {row[0]: row[1] for row in session.execute(_tasted_query(), {"ids": list(brew_ids)})}


@cache
def _tasted_query() -> Query:
    return (
        select(Tasting.brew_id, func.max(Tasting.tasted_at))
        .where(Tasting.brew_id.in_(bindparam("ids", expanding=True)), *counted())
        .group_by(Tasting.brew_id)
    )


def _compared(session: Session, brew_ids: Sequence[int]) -> dict[tuple[int, ...], datetime]:
    """Saved side by sides with a preference, be it for neither."""
    ids = {"ids": list(brew_ids)}
    rows = session.execute(_compared_query(), ids).all() if brew_ids else []
    return {tuple(sorted((row.brew_a_id, row.brew_b_id))): row.saved_at for row in rows}


@cache
def _compared_query() -> Query:
    of_them: BindParameter[int] = bindparam("ids", expanding=True)
    return select(SideBySide.brew_a_id, SideBySide.brew_b_id, SideBySide.saved_at).where(
        SideBySide.brew_a_id.in_(of_them),
        SideBySide.brew_b_id.in_(of_them),
        SideBySide.binned_at.is_(None),
        SideBySide.preference.is_not(None),
    )


def _trials(
    session: Session,
    sitting: Sitting,
    rows: Sequence[LineRow],
    questions: Mapping[int, QuestionRow],
) -> dict[int, OpenTrial]:
    """Which trial each line is: those of its test since it was planned, in the order drawn.

    A line that was skipped leaves its trial to the next one, unless there are more than that.
    """
    test_ids = {row.test_id for row in questions.values() if row.test_id is not None}
    drawn = trials_by_test(session, test_ids) if test_ids else {}
    found: dict[int, OpenTrial] = {}
    for question in questions.values():
        trials = [one for one in drawn.get(question.test_id or 0, ()) if _is_of(one, sitting)]
        lines = [
            row for row in rows if row.kind == "trial" and row.sitting_question_id == question.id
        ]
        lines.sort(key=lambda row: (row.skipped_at is not None, row.place))
        found |= {row.id: trial for row, trial in zip(lines, trials, strict=False)}
    return found


def _is_of(trial: OpenTrial, sitting: Sitting) -> bool:
    """Whether a trial counts at the sitting: nobody had answered it when that was planned."""
    if trial.warm_up or trial.voided_at is not None:
        return False
    if sitting.ended_at is not None and trial.drawn_at > sitting.ended_at:
        return False
    return trial.answered_at is None or trial.answered_at >= sitting.planned_at


def _last(times: Sequence[datetime | None]) -> datetime | None:
    """The latest of all; None where one is missing, or there are none."""
    known = [time for time in times if time is not None]
    return max(known) if known and len(known) == len(times) else None
