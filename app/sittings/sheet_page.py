"""The page of a run sheet."""

from contextlib import suppress
from datetime import timedelta

from flask import render_template
from sqlalchemy.orm import Session

from app.journal.brews import NamedBrew, named_brews, newest_ids
from app.journal.gathered.evidence import Gathered, gather
from app.journal.rows import rows_as
from app.journal.sittings.needs import Readiness, readiness
from app.journal.sittings.reading import QuestionRow, asked_of, ticks_of
from app.journal.told import brews_in_words
from app.models import Brew, Question, Sitting
from app.sittings import words
from app.sittings.forms import SkipForm
from app.sittings.sheet import Sheet, read_sheet
from app.web import clock
from app.web.formats import formats
from app.web.session import reading

MOST_LATELY = 8
BEFORE = timedelta(hours=1)  # what was brewed just before the plan was saved may be meant, too


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
        lately=_brewed_lately(session, sheet),
        begun=any(line.state == "done" for line in sheet.standing.lines),
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


def _brewed_lately(session: Session, sheet: Sheet) -> list[tuple[int, str]]:
    """The latest brews that no line has made, in words, since the sitting was planned."""
    taken = {brew_id for line in sheet.standing.lines for brew_id in line.brew_ids}
    since = Brew.brewed_at >= sheet.standing.sitting.planned_at - BEFORE
    ids = [brew_id for brew_id in newest_ids(session, MOST_LATELY, since) if brew_id not in taken]
    rows = rows_as(NamedBrew, session, named_brews().where(Brew.id.in_(ids))) if ids else []
    rows.sort(key=lambda row: row.brewed_at, reverse=True)
    return list(brews_in_words(session, rows, formats()))


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
