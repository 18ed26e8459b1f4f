"""The run sheet of a sitting: its lines as they stand, with the cups in words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import ceil

from sqlalchemy.orm import Session

from app.journal.pairs.pair import Side
from app.journal.sittings.cups import CupLike
from app.journal.sittings.planned import Key, otherwise, read_cups
from app.journal.sittings.reading import cups_of
from app.journal.sittings.standing import LineStanding, SittingStanding, standing
from app.journal.sittings.titles import title_of
from app.models import Sitting
from app.sensory.terms import Letter
from app.sittings.cups import CupsInWords, in_words, otherwise_in_words
from app.web.formats import formats


@dataclass(frozen=True, slots=True)
class SheetLine:
    """A line as the sheet shows it; `otherwise` says, by cup, what was not brewed as planned,
    `left_s` how long a rest that has begun still lasts."""

    line: LineStanding
    title: str
    cups: CupsInWords | None
    otherwise: Mapping[Letter, str]
    left_s: int


@dataclass(frozen=True, slots=True)
class Sheet:
    standing: SittingStanding
    lines: Sequence[SheetLine]

    @property
    def next(self) -> SheetLine | None:
        return next((one for one in self.lines if one.line.state == "next"), None)


def read_sheet(session: Session, sitting: Sitting, now: datetime) -> Sheet:
    stands = standing(session, sitting, now)
    cups = cups_of(session, sitting.id)
    made_ids = {brew_id for line in stands.lines for brew_id in line.brew_ids}
    planned, made = read_cups(session, cups, made_ids)
    words = {number: _words(number, two, planned) for number, two in cups.items()}
    return Sheet(stands, [_shown(line, words, planned, made, now) for line in stands.lines])


def _words(number: int, two: Mapping[Letter, CupLike], planned: Mapping[Key, Side]) -> CupsInWords:
    return in_words({letter: planned[number, letter] for letter in two}, formats())


def _shown(
    line: LineStanding,
    words: Mapping[int, CupsInWords],
    planned: Mapping[Key, Side],
    made: Mapping[int, Side],
    now: datetime,
) -> SheetLine:
    number = line.row.sitting_question_id
    if line.row.kind != "brew":
        left = (line.ends_at - now).total_seconds() if line.ends_at else 0
        return SheetLine(line, title_of(line), None, {}, ceil(left))
    differs: dict[Letter, str] = {}
    for brew in line.brews:
        side = made.get(brew.brew_id or 0) if brew.is_there else None
        if side and brew.letter:
            found = otherwise(planned[number, brew.letter], side, formats())
            if found:
                differs[brew.letter] = otherwise_in_words(found)
    return SheetLine(line, title_of(line), words.get(number), differs, 0)
