"""The page of a run sheet."""

from contextlib import suppress

from flask import render_template
from sqlalchemy.orm import Session

from app.journal.gathered.evidence import Gathered, gather
from app.journal.sittings.needs import Readiness, readiness
from app.journal.sittings.reading import QuestionRow, asked_of, ticks_of
from app.models import Question, Sitting
from app.sittings import words
from app.sittings.forms import SkipForm
from app.sittings.sheet import Sheet, read_sheet
from app.web import clock
from app.web.formats import formats
from app.web.session import reading


def sheet_page(
    sitting: Sitting, wrong_line: int | None = None, wrong: SkipForm | None = None
) -> str:
    """The sheet; with the form of a line that could not be skipped."""
    session, now, zone = reading(), clock.now(), clock.browser_zone()
    sheet = read_sheet(session, sitting, now)
    return render_template(
        "sittings/show.html",
        sitting=sitting,
        sheet=sheet,
        stands=sheet.standing,
        found=_found(session, sheet),
        ready=_ready(session, sheet),
        begun=any(line.state == "done" for line in sheet.standing.lines),
        ticks=ticks_of(session, sitting.id),
        forms={line.line.row.id: SkipForm() for line in sheet.lines}
        | ({wrong_line: wrong} if wrong_line else {}),
        wrong_line=wrong_line,
        name=words.name_of(sitting, formats(), zone),
        now=now,
        lead=words.lead(sheet.standing, now, zone, formats()),
        scalds=words.SCALDS,
        drink=words.DRINK,
        zone=zone,
    )


def _ready(session: Session, sheet: Sheet) -> Readiness | None:
    """What has to be ready for the lines that are still to do; None where nothing is to be brewed,
    or it cannot be said any more."""
    sitting = sheet.standing.sitting
    if sitting.ended_at is not None or sitting.binned_at is not None:
        return None
    left = sheet.standing.asked_still(asked_of(session, sitting.id))
    with suppress(ValueError, LookupError):
        return readiness(session, left) if left else None
    return None


def _found(session: Session, sheet: Sheet) -> list[tuple[QuestionRow, Gathered]]:
    """What is gathered under each question, once the sitting is over."""
    if sheet.standing.next and sheet.standing.sitting.ended_at is None:
        return []
    return [
        (row, gather(session, session.get_one(Question, row.question_id), formats(), clock.now()))
        for row in sheet.standing.questions
    ]
