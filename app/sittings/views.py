"""Pages of sittings: the list, the run sheet of one, closing it and taking it up again."""

from itertools import chain

from flask import abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from app.journal.as_table import every
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.sittings import doing
from app.journal.sittings.reading import ended_page, questions_of, under_way
from app.journal.sittings.standing import standing
from app.journal.sittings.titles import next_in_words
from app.sittings import plan_views, run_views  # noqa: F401  importing views adds their pages
from app.sittings.as_table import SITTING_COLUMNS, sitting_lines
from app.sittings.pages import pages, sitting_or_404, to_sheet
from app.sittings.words import how_far, name_of
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.formats import formats
from app.web.session import reading, writing


@pages.get("/")
def index() -> str | Response:
    session, zone = reading(), clock.browser_zone()
    if asked_as_table():
        sittings = chain(under_way(session), every(lambda args: ended_page(session, args)))
        return as_table("sittings", SITTING_COLUMNS, sitting_lines(session, sittings))
    page = ended_page(session, request.args)
    opened = [] if page.newer else under_way(session)
    latest = standing(session, opened[0], clock.now()) if opened else None
    texts: dict[int, list[str]] = {}
    for row in questions_of(session, [one.id for one in (*opened, *page.rows)]):
        texts.setdefault(row.sitting_id, []).append(row.text)
    return render_template(
        "sittings/index.html",
        latest=latest,
        others=opened[1:],
        page=page,
        texts=texts,
        latest_far=how_far(latest) if latest else "",
        names={one.id: name_of(one, formats(), zone) for one in (*opened, *page.rows)},
        latest_next=next_in_words(latest) if latest else "",
    )


@pages.get("/<id:sitting_id>")
def show(sitting_id: int) -> str:
    from app.sittings.sheet_page import sheet_page

    return sheet_page(sitting_or_404(reading(), sitting_id))


@pages.post("/<id:sitting_id>/end")
def end(sitting_id: int) -> Response:
    with writing(to=url_for(".show", sitting_id=sitting_id)) as session:
        doing.end(session, sitting_or_404(session, sitting_id), clock.now())
    flash("The sitting is closed.")
    return to_sheet(sitting_id)


@pages.post("/<id:sitting_id>/take-up")
def take_up(sitting_id: int) -> Response:
    with writing(to=url_for(".show", sitting_id=sitting_id)) as session:
        doing.take_up_sitting(session, sitting_or_404(session, sitting_id))
    return to_sheet(sitting_id)


@pages.post("/<id:sitting_id>/bin")
def bin(sitting_id: int) -> Response:
    with writing() as session:
        put_in_bin(sitting_or_404(session, sitting_id), clock.now())
    flash("The sitting is in the bin; what was brewed, tasted and answered at it stays.")
    return to_sheet(sitting_id)


@pages.post("/<id:sitting_id>/restore")
def restore(sitting_id: int) -> Response:
    with writing() as session:
        take_from_bin(sitting_or_404(session, sitting_id))
    flash("The sitting is back.")
    return to_sheet(sitting_id)


@pages.post("/<id:sitting_id>/ready")
def ready(sitting_id: int) -> Response:
    """Something that has to be ready is, or is not; a tap that arrives twice changes nothing."""
    is_ready = "ready" in request.form
    need = request.form.get("ready" if is_ready else "missing", "").strip()
    if not doing.is_need(need):
        abort(404)
    with writing(keyed=False) as session:
        sitting = sitting_or_404(session, sitting_id)
        doing.tick_need(session, sitting.id, need, clock.now(), ready=is_ready)
    return redirect(url_for(".show", sitting_id=sitting_id, _anchor="ready"), 303)
