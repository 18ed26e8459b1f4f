"""A line as a brew: its names, moment and amounts, its score and notes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from app.models.base import NAME_CHARS, NOTE_CHARS
from app.spreadsheet import days
from app.spreadsheet.amounts import TOO_LONG, AmountReader, Amounts, grind_word
from app.spreadsheet.fields import KNOWN, TO_NOTE
from app.spreadsheet.grids import Line
from app.spreadsheet.line import Cells, Problem
from app.spreadsheet.matching import Matching

USUAL_TIME = time(8)  # of a day's first brew where no time is noted, the next ones a minute later

NOT_YET = "This day has not come yet."
BEFORE_ROAST = "The beans were roasted after this brew."
SKIPPED = "The clocks skipped this hour."


@dataclass(slots=True)
class SheetBrew:
    """A line as a brew: names as they are written, amounts as stored."""

    number: int
    brewed_at: datetime
    brewed_on: date
    timed: bool
    names: dict[str, str]
    roasted_on: date | None
    amounts: Amounts
    filter_use: int | None
    liking: int | None
    taste_note: str
    note: str


class BrewReader:
    """Reads one line after another; where no time is noted, the order of the lines is kept."""

    def __init__(self, matching: Matching, zone: str, now: datetime, hot: bool) -> None:
        self.matching, self.zone, self.now = matching, ZoneInfo(zone), now
        self.numbers = AmountReader(matching, hot)
        self.places = {
            column.field: place
            for place, column in enumerate(matching.columns)
            if column.field in KNOWN
        }
        self.to_note = [n for n, column in enumerate(matching.columns) if column.field == TO_NOTE]
        self.untimed: dict[date, int] = {}

    def read(self, number: int, line: Line) -> SheetBrew | list[Problem]:
        """The brew of a line, or what is wrong with it."""
        cells = Cells(line, self.places)
        on = cells.read("brewed_on", self._day)
        at = cells.read("brewed_at", _clock) or cells.read("brewed_on", days.clock_after_day)
        roasted_on = cells.read("roasted_on", self._day)
        names = self._names(cells)
        amounts = self.numbers.amounts(cells)
        liking, scored = self.numbers.liking(cells)
        if liking is not None and not names["taster"]:
            cells.missing("taster")
        _check_missing(cells, on, names, amounts)
        if on and roasted_on and roasted_on > on:
            cells.wrong("roasted_on", BEFORE_ROAST)
        if setting := names.pop("grind_setting"):
            amounts["grind_setting"] = setting
        note = self._note(cells)
        use = self.numbers.whole_or_amount(cells, "filter_use", KNOWN["filter_use"])
        moment = self._moment(cells, on, at) if on else None
        if cells.problems or on is None or moment is None:
            return cells.problems
        return SheetBrew(
            number=number, brewed_at=moment, brewed_on=on, timed=at is not None, names=names,
            roasted_on=roasted_on, amounts=amounts, filter_use=None if use is None else int(use),
            liking=liking, taste_note=_joined(cells.text("taste_note"), scored), note=note,
        )  # fmt: skip

    def _day(self, text: str) -> date:
        return days.day(text, self.matching.order or "dmy")

    def _names(self, cells: Cells) -> dict[str, str]:
        names = {name: _name(cells, name) for name, facts in KNOWN.items() if facts.kind == "name"}
        names["brewer"] = names["brewer"] or self.matching.brewer
        names["bean"] = names["bean"] or self.matching.bean
        names["taster"] = names["taster"] or self.matching.taster
        return names

    def _moment(self, cells: Cells, on: date, at: time | None) -> datetime:
        if at is None:
            later = self.untimed.get(on, 0)
            self.untimed[on] = later + 1
            wall = datetime.combine(on, USUAL_TIME) + timedelta(minutes=min(later, 900))
        else:
            wall = datetime.combine(on, at)
        moment = wall.replace(tzinfo=self.zone).astimezone(UTC)
        if moment.astimezone(self.zone).replace(tzinfo=None) != wall:
            cells.wrong("brewed_at" if cells.text("brewed_at") else "brewed_on", SKIPPED)
        elif moment > self.now + timedelta(minutes=10):
            if at is None and on == self.now.astimezone(self.zone).date():
                return self.now
            cells.wrong("brewed_on", NOT_YET)
        return moment

    def _note(self, cells: Cells) -> str:
        headings = self.matching.columns
        rest = [
            f"{headings[n].heading}: {cells.line[n]}" if headings[n].heading else cells.line[n]
            for n in self.to_note
            if cells.line[n]
        ]
        written = _joined(cells.text("note"), *rest, *self._unplaced(cells))
        if len(written) > NOTE_CHARS:
            cells.wrong("note", TOO_LONG.format(NOTE_CHARS))
        if len(cells.text("taste_note")) > NOTE_CHARS - 80:
            cells.wrong("taste_note", TOO_LONG.format(NOTE_CHARS - 80))
        return written

    def _unplaced(self, cells: Cells) -> list[str]:
        """What has no place in a brew without what it belongs to, so it goes to the note."""
        has_score, has_taster = bool(cells.text("liking")), bool(cells.text("taster"))
        has_words = bool(cells.text("taste_note"))
        lone = {
            "filter_use": not cells.text("filter"),
            "taste_note": not (has_score or has_taster or self.matching.taster),
            "taster": not (has_score or has_words),
            "grind": bool(cells.text("grind_setting")) and not grind_word(cells.text("grind")),
        }
        return [
            f"{KNOWN[name].label}: {cells.text(name)}"
            for name, is_lone in lone.items()
            if is_lone and cells.text(name)
        ]


def _clock(text: str) -> time:
    """The time of a cell, with a day before it or without."""
    return days.clock_after_day(text) or days.clock(text)


def _name(cells: Cells, name: str) -> str:
    text = " ".join(cells.text(name).split())
    longest = KNOWN[name].longest
    if len(text) > min(longest, NAME_CHARS):
        cells.wrong(name, TOO_LONG.format(longest))
    return text


def _check_missing(cells: Cells, on: date | None, names: dict[str, str], amounts: Amounts) -> None:
    if on is None:
        cells.missing("brewed_on")
    for name in ("bean", "brewer"):
        if not names[name]:
            cells.missing(name)
    for name in ("dose_g", "water_g"):
        if name not in amounts:
            cells.missing(name)


def _joined(*texts: str) -> str:
    return "\n".join(text for text in texts if text)
