"""What is done at a line of a run sheet by hand: it is ticked, skipped, or taken up again."""

from flask import abort, flash, redirect, request, url_for
from werkzeug.wrappers import Response

from app.journal.sittings import doing
from app.models import Sitting, SittingLine
from app.sittings.forms import SkipForm
from app.sittings.pages import Answer, pages
from app.web import clock
from app.web.fields import number_or_none
from app.web.session import reading, writing

CHOOSE_BREWS = "Please choose a brew for each cup, and not one for both."


@pages.get("/lines/<id:line_id>")
def line(line_id: int) -> Response:
    """The sheet of a line, for a page that knows no more than the line."""
    return redirect(_sheet_of(line_id), 303)


@pages.post("/lines/<id:line_id>/tick")
def tick(line_id: int) -> Response:
    to = _sheet_of(line_id)
    with writing(to=to) as session:
        doing.tick(session, line_id, clock.now())
    return redirect(to, 303)


@pages.post("/lines/<id:line_id>/brews")
def take_brews(line_id: int) -> Response:
    """What a line asks for was brewed and logged without its sheet."""
    to = _sheet_of(line_id)
    sent = [number_or_none(text) for text in request.form.getlist("brew")]
    brew_ids = [brew_id for brew_id in sent if brew_id]
    if not brew_ids or len(set(brew_ids)) < len(sent):
        flash(CHOOSE_BREWS, "error")
        return redirect(to, 303)
    with writing(to=to) as session:
        if not doing.can_take(session, brew_ids):
            abort(404)
        unnoted = doing.brewed(session, line_id, brew_ids, clock.now())
    for text in unnoted:
        flash(text, "error")
    return redirect(to, 303)


@pages.post("/lines/<id:line_id>/skip")
def skip(line_id: int) -> Answer:
    to = _sheet_of(line_id)
    form = SkipForm(request.form)
    if not form.validate():
        from app.sittings.sheet_page import sheet_page

        row = reading().get_one(SittingLine, line_id)
        return sheet_page(reading().get_one(Sitting, row.sitting_id), line_id, form), 422
    with writing(to=to) as session:
        doing.skip(session, line_id, form.why.data or "", clock.now())
    return redirect(to, 303)


@pages.post("/lines/<id:line_id>/take-up")
def take_up_line(line_id: int) -> Response:
    to = _sheet_of(line_id)
    with writing(to=to) as session:
        doing.take_up(session, line_id)
    flash("The line is to be done again.")
    return redirect(to, 303)


def _sheet_of(line_id: int) -> str:
    row = reading().get(SittingLine, line_id) or abort(404)
    return url_for(".show", sitting_id=row.sitting_id)
