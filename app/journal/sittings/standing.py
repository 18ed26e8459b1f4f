"""How far a sitting is: which lines are done, from what the journal has, and which one is next."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from sqlalchemy.orm import Session

from app.journal.blind.open import OpenTrial
from app.journal.sittings import facts
from app.journal.sittings.cups import Asked
from app.journal.sittings.facts import Facts, MadeRow
from app.journal.sittings.reading import LineRow, QuestionRow, lines_of, questions_of
from app.models import Sitting

State = Literal["done", "skipped", "next", "later"]
BY_THEMSELVES = ("cool", "rest")  # they pass


@dataclass(frozen=True, slots=True)
class LineStanding:
    """A line as it stands; `starts_s` counts from the beginning of the plan.

    `brews` are those it makes or tastes. `ends_at` is when it will have passed, of one that does so
    by itself and has begun. `tasted` and `compared` say how far a tasting is.
    """

    row: LineRow
    question: QuestionRow
    starts_s: int
    state: State
    brews: Sequence[MadeRow]
    trial: OpenTrial | None
    ends_at: datetime | None
    tasted: bool
    compared: bool

    @property
    def by_lot(self) -> bool:
        """Whether the key of a trial decides what is brewed."""
        return any(brew.letter is None for brew in self.brews)

    @property
    def brew_ids(self) -> list[int]:
        """The brews made so far, A before B."""
        made = sorted(self.brews, key=lambda brew: brew.letter or "")
        return [brew.brew_id for brew in made if brew.brew_id is not None]


@dataclass(frozen=True, slots=True)
class SittingStanding:
    """A sitting with its lines in order; `next` is None once all are done or skipped."""

    sitting: Sitting
    questions: Sequence[QuestionRow]
    lines: Sequence[LineStanding]

    @property
    def next(self) -> LineStanding | None:
        return next((line for line in self.lines if line.state == "next"), None)

    @property
    def pairs(self) -> set[tuple[int, ...]]:
        """The brews that were made to be tasted side by side."""
        tasted = (line for line in self.lines if line.row.kind == "taste")
        return {tuple(line.brew_ids) for line in tasted}

    def asked_still(self, asked: Sequence[Asked]) -> list[Asked]:
        """What is still to be brewed, tasted and answered of what the sitting was asked for."""
        still: list[Asked] = []
        for one, question in zip(asked, self.questions, strict=True):
            kinds = [
                line.row.kind
                for line in self.lines
                if line.question.id == question.id and line.state in ("next", "later")
            ]
            if "brew" in kinds:
                pair = one.pair and "taste" in kinds
                still.append(replace(one, pair=pair, trials=kinds.count("trial")))
        return still

    @property
    def done(self) -> int:
        return sum(line.state == "done" for line in self.lines)

    @property
    def lasts_s(self) -> int:
        return sum(line.row.lasts_s for line in self.lines)

    @property
    def left_s(self) -> int:
        """What the plan gives the lines that are still to do."""
        open_lines = [line for line in self.lines if line.state in ("next", "later")]
        return sum(line.row.lasts_s for line in open_lines)


def standing(session: Session, sitting: Sitting, now: datetime) -> SittingStanding:
    questions = {row.id: row for row in questions_of(session, [sitting.id])}
    rows = lines_of(session, sitting.id)
    known = facts.read(session, sitting, rows, questions)
    finished = [_finished_at(row, known, now) for row in rows]
    lines: list[LineStanding] = []
    at, starts_s, waits = None, 0, False
    for place, row in enumerate(rows):
        ends_at = at + timedelta(seconds=row.lasts_s) if at and not waits else None
        by_itself = row.kind in BY_THEMSELVES
        done = finished[place] is not None
        if by_itself and not done:
            passed = ends_at is not None and ends_at <= now
            done = passed or any(finished[place + 1 :])
        state: State = "done" if done else "skipped" if row.skipped_at else "later"
        if state == "later" and not waits:
            state, waits = "next", True
        lines.append(_line(row, known, starts_s, state, ends_at if by_itself else None))
        at = finished[place] or (ends_at if done and by_itself else None) or at
        starts_s += row.lasts_s
    return SittingStanding(sitting, list(questions.values()), lines)


def _line(
    row: LineRow, known: Facts, starts_s: int, state: State, ends_at: datetime | None
) -> LineStanding:
    brews = known.brews_of(row)
    return LineStanding(
        row=row,
        question=known.questions[row.sitting_question_id],
        starts_s=starts_s,
        state=state,
        brews=brews,
        trial=known.trials.get(row.id),
        ends_at=ends_at if state == "next" else None,
        tasted=known.tasted_at(brews) is not None,
        compared=known.compared_at(brews) is not None,
    )


def _finished_at(row: LineRow, known: Facts, now: datetime) -> datetime | None:
    """When a line was done, as far as the journal knows; None where it was not."""
    if row.kind == "brew":
        return known.brewed_at(row)
    if row.kind == "taste":
        return known.tasted_and_compared_at(row)
    if row.kind == "trial":
        return _answered_at(known.trials.get(row.id), now)
    return row.ticked_at


def _answered_at(trial: OpenTrial | None, now: datetime) -> datetime | None:
    """When the trial was answered; poured solo it is done once the mark was read, or is lost."""
    if trial is None or trial.answered_at is None:
        return None
    waits = trial.pouring == "solo" and trial.lifted is None and not trial.is_late(now)
    return None if waits else trial.answered_at
