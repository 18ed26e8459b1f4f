"""Many asks pasted at once: one a line, each with its day and where it came from."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from wtforms import BooleanField, Form
from wtforms.validators import ValidationError

from app.models.base import NAME_CHARS
from app.models.questions import ASK_CHARS
from app.web import clock
from app.web.fields import DayField, LineField, NoteField

MOST_LINES = 200
MOST_CHARS = 250_000
MOST_TOLD = 3  # lines that are wrong, each by its number
MARK = re.compile(r"^[-*•–>]+(\s+|$)")
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
DAY = re.compile(
    r"^[(\[]?(?:(?P<y>\d{4})-(?P<m>\d{1,2})-(?P<d>\d{1,2})"
    r"|(?P<d2>\d{1,2})\.\s?(?P<m2>\d{1,2})\.\s?(?P<y2>\d{4})"
    r"|(?P<d3>\d{1,2})\.?\s(?P<name>[A-Za-z]{3})[a-z]*\.?\s(?P<y3>\d{4}))"
    r"(?!\d)[)\]]?(?:[ T,]*\d{1,2}:\d{2}(?::\d{2})?)?[)\]]?\s*[:;,|–-]?\s+",
    re.ASCII,
)


@dataclass(frozen=True, slots=True)
class Line:
    """A line that was pasted: its number from 1, its words, its own day if it began with one."""

    number: int
    text: str
    day: date | None
    fault: str = ""


class PasteForm(Form):
    text = NoteField("Asks, one a line", longest=MOST_CHARS, required=True)
    asked_on = DayField("Asked on", required=True)
    source = LineField("Where they came from", longest=NAME_CHARS)
    own_days = BooleanField("A date at the start of a line is the day of that line")

    def validate_text(self, field: NoteField) -> None:
        lines = self.lines
        if len(lines) > MOST_LINES:
            raise ValidationError(
                f"These are {len(lines):,} lines. Paste at most {MOST_LINES} at a time."
            )
        wrong = [f"Line {line.number}: {line.fault}" for line in lines if line.fault]
        if wrong:
            more = len(wrong) - MOST_TOLD
            rest = [f"So are {more} more lines."] if more > 1 else wrong[MOST_TOLD:]
            raise ValidationError(" ".join([*wrong[:MOST_TOLD], *rest]))
        if not lines:
            raise ValidationError("Please fill this in.")

    @property
    def lines(self) -> list[Line]:
        return list(lines_of(self.text.data or "", own_days=bool(self.own_days.data)))


def lines_of(text: str, *, own_days: bool) -> Iterator[Line]:
    """The lines that say something, without the dashes of a list."""
    for number, line in enumerate(re.split(r"[\n\u2028\u2029]", text), start=1):
        words, day, fault = MARK.sub("", " ".join(line.split())), None, ""
        if own_days and (found := DAY.match(f"{words} ")):
            words, day = words[found.end() :].strip(), _day(found)
            if day is None or day > clock.today() + timedelta(days=1):
                fault = "this date is not in the calendar, or has not come yet."
            elif not words:
                fault = "there is a date, and no words."
        if len(words) > ASK_CHARS:
            fault = f"{len(words):,} characters; an ask has at most {ASK_CHARS:,}. Shorten it."
        if words or fault:
            yield Line(number, words, day, fault)


def _day(found: re.Match[str]) -> date | None:
    given = found.groupdict()
    year, number = (
        given["y"] or given["y2"] or given["y3"],
        given["d"] or given["d2"] or given["d3"],
    )
    month = given["m"] or given["m2"]
    if given["name"]:
        name = given["name"].lower()
        month = str(MONTHS.index(name) + 1) if name in MONTHS else "0"
    try:
        day = date(int(year), int(month), int(number))
    except ValueError:
        return None
    return day if day.year >= 1970 else None
