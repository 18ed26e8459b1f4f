"""The page of a run sheet."""

from flask import render_template
from sqlalchemy.orm import Session

from app.journal.gathered.evidence import Gathered, gather
from app.journal.sittings.reading import QuestionRow, ticks_of
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
        ticks=ticks_of(session, sitting.id),
        forms={line.line.row.id: SkipForm() for line in sheet.lines}
        | ({wrong_line: wrong} if wrong_line else {}),
        wrong_line=wrong_line,
        name=words.name_of(sitting, formats(), zone),
        lead=words.lead(sheet.standing, now, zone, formats()),
        scalds=words.SCALDS,
        drink=words.DRINK,
        zone=zone,
    )


def _found(session: Session, sheet: Sheet) -> list[tuple[QuestionRow, Gathered]]:
    """What is gathered under each question, once the sitting is over."""
    if sheet.standing.next and sheet.standing.sitting.ended_at is None:
        return []
    return [
        (row, gather(session, session.get_one(Question, row.question_id), formats(), clock.now()))
        for row in sheet.standing.questions
    ]
