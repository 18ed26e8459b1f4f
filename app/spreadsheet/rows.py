"""Lines of a sheet as brews, and what is wrong with those that cannot be."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from typing import TypeVar
from zoneinfo import ZoneInfo

from app.brewing import bounds
from app.models.base import NAME_CHARS, NOTE_CHARS
from app.spreadsheet import cells
from app.spreadsheet.fields import KNOWN, TO_NOTE, Known
from app.spreadsheet.grids import Line
from app.spreadsheet.matching import SCALES, Matching, numbers_of

USUAL_TIME = time(8)  # of a day's first brew where no time is noted, the next ones a minute later
NOTHING = {"", "-", "–", "—", "n/a", "na", "nan", "#n/a"}
RATIO = re.compile(r"\s*(?:1\s*[:/]\s*)?(\d+(?:[.,]\d+)?)(?:\s*[:/]\s*1)?\s*", re.ASCII)
GRINDS = {"mittel": "medium", "fein": "fine", "grob": "coarse", "med": "medium"}

MISSING = {
    "brewed_on": "The day is missing.",
    "bean": "The bean is missing.",
    "brewer": "The brewer is missing.",
    "dose_g": "The dose is missing.",
    "water_g": "The brew water is missing.",
    "taster": "Whose score this is is missing.",
}
BETWEEN = "“{}” is out of bounds: {} must be between {:g} and {:g}{}."
NO_WHOLE = "“{}” is no whole number."
NO_RATIO = "“{}” is no ratio: please write it as 1:15.8 or 15.8."
NOT_YET = "This day has not come yet."
BEFORE_ROAST = "The beans were roasted after this brew."
TOO_LONG = "This is longer than {} letters."
OFF_SCALE = "“{}” is not on the scale from {} to {}."
SKIPPED = "The clocks skipped this hour."
MIXED = "“{0}” stands among °F and may be °C: please write it as {0} °C or {0} °F."
LUKEWARM_C = 37.8  # 100 °F

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with a line; `place` is the column, None where there is none for it."""

    place: int | None
    text: str
    why: str


@dataclass(slots=True)
class SheetBrew:
    """A line as a brew: names as they are written, amounts as stored."""

    number: int
    brewed_at: datetime
    brewed_on: date
    timed: bool
    names: dict[str, str]
    roasted_on: date | None
    amounts: dict[str, float | int | str]
    filter_use: int | None
    liking: int | None
    taste_note: str
    note: str


@dataclass(slots=True)
class ReadSheet:
    """All lines of a sheet: brews, lines with problems (by their number), and those left out."""

    brews: list[SheetBrew] = field(default_factory=list)
    problems: dict[int, list[Problem]] = field(default_factory=dict)
    left_out: list[int] = field(default_factory=list)


Mended = Mapping[int, Mapping[int, str]]


def read_sheet(
    lines: Sequence[Line],
    matching: Matching,
    zone: str,
    now: datetime,
    mended: Mended,
    left_out: set[int],
    told: Callable[[int], None] = lambda _number: None,
) -> ReadSheet:
    """Read every line from `matching.first` on, numbered as in the sheet, from 1.

    `mended` has the cells written anew, by line and column; `told` hears of every line."""
    read = ReadSheet()
    reader = _Reader(matching, zone, now, _is_hot(lines, matching))
    for number, line in _numbered(lines, matching, mended):
        told(number)
        if number in left_out:
            read.left_out.append(number)
            continue
        brew = reader.read(number, line)
        if reader.problems:
            read.problems[number] = reader.problems
        elif brew:
            read.brews.append(brew)
    return read


def _is_hot(lines: Sequence[Line], matching: Matching) -> bool:
    """Whether a column of °F has water that was hot, so that a bare 93 among it is doubtful."""
    place = matching.place_of("water_temp_c")
    rows = lines[matching.first :]
    return place is not None and any(value > 100 for value in numbers_of(rows, place))


def _numbered(
    lines: Sequence[Line], matching: Matching, mended: Mended
) -> Iterator[tuple[int, Line]]:
    width = len(matching.columns)
    for number, line in enumerate(lines[matching.first :], start=matching.first + 1):
        if not any(line):
            continue
        whole = [*line, *[""] * (width - len(line))]
        for place, text in mended.get(number, {}).items():
            if place < width:
                whole[place] = text.strip()
        yield number, whole


class _Reader:
    """Reads one line after another; `problems` are those of the last one."""

    def __init__(self, matching: Matching, zone: str, now: datetime, hot: bool) -> None:
        self.matching, self.zone = matching, ZoneInfo(zone)
        self.now, self.hot = now, hot
        self.places = {
            column.field: place
            for place, column in enumerate(matching.columns)
            if column.field in KNOWN
        }
        self.to_note = [n for n, column in enumerate(matching.columns) if column.field == TO_NOTE]
        self.problems: list[Problem] = []
        self.untimed: dict[date, int] = {}

    def read(self, number: int, line: Line) -> SheetBrew | None:
        self.problems, self.line = [], line
        on = self._of("brewed_on", lambda text: cells.day(text, self.matching.order or "dmy"))
        at = self._of("brewed_at", self._clock) or self._beside_the_day()
        roasted_on = self._of(
            "roasted_on", lambda text: cells.day(text, self.matching.order or "dmy")
        )
        names = {name: self._name(name) for name, known in KNOWN.items() if known.kind == "name"}
        amounts = self._amounts()
        self._defaults(names)
        liking, scored = self._liking()
        if liking is not None and not names["taster"]:
            self._missing("taster")
        self._check_missing(on, names, amounts)
        if on and roasted_on and roasted_on > on:
            self._wrong("roasted_on", BEFORE_ROAST)
        if names["grind_setting"]:
            amounts["grind_setting"] = names["grind_setting"]
        note = self._note()
        names.pop("grind_setting")
        moment = self._moment(on, at) if on else None
        if self.problems or on is None or moment is None:
            return None
        return SheetBrew(
            number=number, brewed_at=moment, brewed_on=on, timed=at is not None, names=names,
            roasted_on=roasted_on, amounts=amounts, filter_use=self._whole("filter_use"),
            liking=liking, taste_note=_joined(self._text("taste_note"), scored), note=note,
        )  # fmt: skip

    def _text(self, name: str) -> str:
        place = self.places.get(name)
        text = "" if place is None else self.line[place]
        return "" if text.lower() in NOTHING else text

    def _of(self, name: str, read: Callable[[str], T]) -> T | None:
        text = self._text(name)
        if not text:
            return None
        try:
            return read(text)
        except ValueError as error:
            self._wrong(name, str(error))
            return None

    def _wrong(self, name: str, why: str) -> None:
        """One reason for a cell: the next is told when that one is mended."""
        place = self.places.get(name)
        if place is None or all(problem.place != place for problem in self.problems):
            self.problems.append(Problem(place, self._text(name), why))

    def _missing(self, name: str) -> None:
        if not any(problem.place == self.places.get(name, -1) for problem in self.problems):
            self._wrong(name, MISSING[name])

    def _check_missing(
        self, on: date | None, names: dict[str, str], amounts: dict[str, float | int | str]
    ) -> None:
        if on is None:
            self._missing("brewed_on")
        for name in ("bean", "brewer"):
            if not names[name]:
                self._missing(name)
        for name in ("dose_g", "water_g"):
            if name not in amounts:
                self._missing(name)

    def _defaults(self, names: dict[str, str]) -> None:
        names["brewer"] = names["brewer"] or self.matching.brewer
        names["bean"] = names["bean"] or self.matching.bean
        names["taster"] = names["taster"] or self.matching.taster

    def _clock(self, text: str) -> time:
        """The time of a cell, with a day before it or without."""
        return cells.clock_after_day(text) or cells.clock(text)

    def _beside_the_day(self) -> time | None:
        return self._of("brewed_on", cells.clock_after_day) if "brewed_on" in self.places else None

    def _moment(self, on: date, at: time | None) -> datetime | None:
        if at is None:
            later = self.untimed.get(on, 0)
            self.untimed[on] = later + 1
            wall = datetime.combine(on, USUAL_TIME) + timedelta(minutes=min(later, 900))
        else:
            wall = datetime.combine(on, at)
        moment = wall.replace(tzinfo=self.zone).astimezone(UTC)
        if moment.astimezone(self.zone).replace(tzinfo=None) != wall:
            self._wrong("brewed_at" if self._text("brewed_at") else "brewed_on", SKIPPED)
        elif moment > self.now + timedelta(minutes=10):
            if at is None and on == self.now.astimezone(self.zone).date():
                return self.now
            self._wrong("brewed_on", NOT_YET)
        return moment

    def _name(self, name: str) -> str:
        text = " ".join(self._text(name).split())
        longest = KNOWN[name].longest
        if len(text) > min(longest, NAME_CHARS):
            self._wrong(name, TOO_LONG.format(longest))
        return text

    def _amounts(self) -> dict[str, float | int | str]:
        read: dict[str, float | int | str] = {}
        for name, known in KNOWN.items():
            if name not in self.places or name == "filter_use":
                continue
            if known.kind in ("amount", "duration", "whole"):
                value = self._of(name, lambda text, n=name, k=known: self._amount(text, n, k))  # type: ignore[misc]
                if value is not None:
                    read[name] = value
        ratio = self._of("ratio", self._ratio)
        if ratio:
            dose, water = read.get("dose_g"), read.get("water_g")
            if dose is not None and water is None and not self._text("water_g"):
                read["water_g"] = self._within(float(dose) * ratio, KNOWN["water_g"], "ratio")
            elif water is not None and dose is None and not self._text("dose_g"):
                read["dose_g"] = self._within(float(water) / ratio, KNOWN["dose_g"], "ratio")
        self._grind(read)
        return read

    def _amount(self, text: str, name: str, known: Known) -> float | int:
        unit = self.matching.columns[self.places[name]].unit
        if known.kind == "duration":
            seconds = cells.duration(text, self.matching.decimal, unit)
            return self._bounded(seconds, known, text)
        value = cells.number(text, self.matching.decimal, unit, known.unit)
        if unit == "°F" and self.hot and value < LUKEWARM_C and text[-1].isdigit():
            raise ValueError(MIXED.format(text[:40]))
        if name == "tds_pct" and 0 < value < 0.05 and "%" in text:
            value *= 100
        if known.kind == "whole":
            if value != int(value):
                raise ValueError(NO_WHOLE.format(text[:40]))
            return int(self._bounded(value, known, text))
        return self._bounded(round(value, 6), known, text)

    def _whole(self, name: str) -> int | None:
        return self._of(name, lambda text: int(self._amount(text, name, KNOWN[name])))

    def _within(self, value: float, known: Known, told_at: str) -> float:
        try:
            return round(float(self._bounded(value, known, f"{value:g}")), 3)
        except ValueError as error:
            self._wrong(told_at, str(error))
            return value

    @staticmethod
    def _bounded(value: float, known: Known, text: str) -> float | int:
        low, high = known.bounds or (float("-inf"), float("inf"))
        if not low <= value <= high:
            unit = f" {known.unit}" if known.unit else ""
            raise ValueError(BETWEEN.format(text[:40], known.label.lower(), low, high, unit))
        return value

    def _ratio(self, text: str) -> float:
        match = RATIO.fullmatch(text)
        value = float(match[1].replace(",", ".")) if match else 0.0
        if not 1 <= value <= 200:
            raise ValueError(NO_RATIO.format(text[:40]))
        return value

    def _grind(self, read: dict[str, float | int | str]) -> None:
        """A grind in the trade's words, or what else stands there as the grinder's setting."""
        text = self._text("grind")
        if word := _grind_word(text):
            read["grind"] = word
        elif text and not self._text("grind_setting"):
            if len(text) <= KNOWN["grind_setting"].longest:
                read["grind_setting"] = text
            else:
                self._wrong("grind", TOO_LONG.format(KNOWN["grind_setting"].longest))

    def _liking(self) -> tuple[int | None, str]:
        """Liking from 1 to 9, and what was written where that is not the same."""
        text = self._text("liking")
        low, high = SCALES[self.matching.scale]
        value = self._of("liking", lambda written: self._score(written, low, high))
        if value is None:
            return None, ""
        liking = int(1 + 8 * (value - low) / (high - low) + 0.5)
        same = (low, high) == bounds.LIKING and value == liking
        return liking, "" if same else f"Score as written: {text} ({low} to {high})"

    def _score(self, text: str, low: int, high: int) -> float:
        stars = text.strip()
        if stars and set(stars) <= {"★", "☆", "*"}:
            value = float(len(stars) - stars.count("☆"))
        else:
            value = cells.number(re.sub(r"\s*/\s*(5|9|10|100)$", "", text), self.matching.decimal)
        if not low <= value <= high:
            raise ValueError(OFF_SCALE.format(text[:40], low, high))
        return value

    def _note(self) -> str:
        headings = self.matching.columns
        rest = [
            f"{headings[n].heading}: {self.line[n]}" if headings[n].heading else self.line[n]
            for n in self.to_note
            if self.line[n]
        ]
        written = _joined(self._text("note"), *rest, *self._unplaced())
        if len(written) > NOTE_CHARS:
            self._wrong("note", TOO_LONG.format(NOTE_CHARS))
        if len(self._text("taste_note")) > NOTE_CHARS - 80:
            self._wrong("taste_note", TOO_LONG.format(NOTE_CHARS - 80))
        return written

    def _unplaced(self) -> list[str]:
        """What has no place in a brew without what it belongs to, so it goes to the note."""
        has_score, has_taster = bool(self._text("liking")), bool(self._text("taster"))
        has_words = bool(self._text("taste_note"))
        lone = {
            "filter_use": not self._text("filter"),
            "taste_note": not (has_score or has_taster or self.matching.taster),
            "taster": not (has_score or has_words),
            "grind": bool(self._text("grind_setting")) and not _grind_word(self._text("grind")),
        }
        return [
            f"{KNOWN[name].label}: {self._text(name)}"
            for name, is_lone in lone.items()
            if is_lone and self._text(name)
        ]


def _grind_word(text: str) -> str:
    """The trade's word for a grind; empty where the text is none."""
    low = " ".join(GRINDS.get(word, word) for word in text.lower().replace("-", " ").split())
    word = low.replace(" ", "-")
    return word if word in bounds.GRINDS else ""


def _joined(*texts: str) -> str:
    return "\n".join(text for text in texts if text)
