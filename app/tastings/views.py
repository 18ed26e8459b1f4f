"""Pages of tastings: the list, tasting a brew, changing what was said."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.journal.as_table import columns, every
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.brews import NamedBrew, named_brews
from app.journal.history import Thing
from app.journal.rows import row_as
from app.journal.sittings.reading import sitting_with_brews
from app.journal.tastings import (
    TastingRow,
    add_tasting,
    after_brew,
    change_tasting,
    likely_taster,
    tasters,
    tastings_of_brews,
)
from app.journal.told import told_apart
from app.models import Brew, Tasting
from app.sensory.scores.scales import JUST_RIGHT_DEFINITIONS, LIKING_LABELS
from app.tastings import queries
from app.tastings.after import After, AgainForm, asked_after
from app.tastings.forms import SCALES, SearchForm, TastingForm
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.changing import Edited, edited
from app.web.formats import formats
from app.web.saved_forms import sent_key
from app.web.session import reading, saved_at, writing

pages = Blueprint("tastings", __name__)

Answer = str | Response | tuple[str, int]

STALE = timedelta(hours=12)


@pages.get("/tastings/")
def index() -> Answer:
    session = reading()
    form = SearchForm(request.args)
    words = form.q.data or "" if form.validate() else ""
    if asked_as_table():
        rows = every(lambda args: queries.search_page(session, words, args))
        return as_table("tastings", columns("tasting", queries.ListedTasting), rows)
    page = queries.search_page(session, words, request.args)
    untasted = [] if words or page.newer else queries.not_tasted_yet(session)
    return render_template(
        "tastings/index.html",
        form=form,
        page=page,
        untasted=untasted,
        told=told_apart(session, untasted, formats()),
    )


@pages.get("/brews/<id:brew_id>/taste")
def new(brew_id: int) -> str:
    session = reading()
    brew = _named_brew(session, brew_id)
    if after := asked_after(session, [brew_id]):
        return _form_page(session, AgainForm(taster_id=after.taster_id), brew, after=after)
    earlier = tastings_of_brews(session, [brew_id]).get(brew_id, [])
    form = TastingForm(taster_id=likely_taster(session, (row.taster_id for row in earlier)))
    return _form_page(session, form, brew, earlier)


@pages.post("/brews/<id:brew_id>/taste")
def create(brew_id: int) -> Answer:
    session = reading()
    brew, after = _named_brew(session, brew_id), asked_after(session, [brew_id])
    form = (AgainForm if after else TastingForm)(request.form)
    zone = clock.browser_zone()
    tasted_at = _checked(session, form, brew, zone)
    if tasted_at is None:
        earlier = tastings_of_brews(session, [brew_id]).get(brew_id, [])
        return _form_page(session, form, brew, earlier, after=after), 422
    sitting_id = sitting_with_brews(session, [brew_id])
    to = url_for("sittings.show", sitting_id=sitting_id) if sitting_id else _page_of(brew_id)
    if after:
        to = url_for("blind.trial", trial_id=after.trial_id)
    with writing() as session:
        entry = form.entry(tasted_at, after and after.trial_id)
        row = add_tasting(session, entry, brew_id, zone, sent_key())
        saved_at(session, to, url_for(".edit", tasting_id=row.id))
    liking = form.liking.data
    said = "" if liking is None else f": {liking}, {LIKING_LABELS[liking]}"
    flash(f"Tasting saved{said}.")
    return redirect(to, 303)


@pages.route("/tastings/<id:tasting_id>/edit", methods=["GET", "POST"])
def edit(tasting_id: int) -> Answer:
    session = reading()
    tasting = session.get(Tasting, tasting_id) or abort(404)
    brew, edit = _named_brew(session, tasting.brew_id), _edited(session, tasting)
    form = edit.opened()
    if request.method != "POST":
        return _form_page(session, form, brew, tasting=tasting)
    tasted_at = _checked(session, form, brew, tasting.zone, tasting)
    if tasted_at is None:
        return _form_page(session, form, brew, tasting=tasting), 422
    with edit.saving(form, to=_page_of(brew.id)) as session:
        change_tasting(session, session.get_one(Tasting, tasting_id), form.entry(tasted_at))
    flash("Changes saved.")
    return _to_brew(tasting.brew_id)


@pages.post("/tastings/<id:tasting_id>/bin")
def bin(tasting_id: int) -> Response:
    with writing() as session:
        put_in_bin(row := session.get(Tasting, tasting_id) or abort(404), clock.now())
    flash("The tasting is in the bin.")
    return _to_brew(row.brew_id)


@pages.post("/tastings/<id:tasting_id>/restore")
def restore(tasting_id: int) -> Response:
    with writing() as session:
        take_from_bin(row := session.get(Tasting, tasting_id) or abort(404))
    flash("The tasting is back.")
    return _to_brew(row.brew_id)


def _edited(session: Session, tasting: Tasting) -> Edited[TastingForm]:
    form = (AgainForm if tasting.after_trial_id else TastingForm)(obj=tasting)
    form.tasted_at.data = clock.wall_time(tasting.tasted_at, tasting.zone)
    form.taster_id.choices = _choices(session, tasting)
    return edited(form, Thing("tasting", tasting.id))


def _checked(
    session: Session, form: TastingForm, brew: NamedBrew, zone: str, tasting: Tasting | None = None
) -> datetime | None:
    """When it was tasted, of a valid form; None where the form has errors."""
    form.taster_id.choices = _choices(session, tasting)
    valid, before = form.validate(), tasting.tasted_at if tasting else None
    if form.tasted_at.data is None:
        return (before or clock.now()) if valid else None
    try:
        moment = clock.from_wall(form.tasted_at.data, zone, before)
        if moment != before:
            after_brew(moment, brew.brewed_at)
    except ValueError as error:
        form.tasted_at.errors = [*form.tasted_at.errors, str(error)]
        return None
    return moment if valid else None


def _named_brew(session: Session, brew_id: int) -> NamedBrew:
    """The brew to taste, in the bin or not."""
    return row_as(NamedBrew, session, named_brews().where(Brew.id == brew_id)) or abort(404)


def _choices(session: Session, tasting: Tasting | None) -> list[tuple[int, str]]:
    return tasters(session, also=tasting.taster_id if tasting else None)


def _form_page(
    session: Session,
    form: TastingForm,
    brew: NamedBrew,
    earlier: Sequence[TastingRow] = (),
    tasting: Tasting | None = None,
    after: After | None = None,
) -> str:
    form.taster_id.choices = known = _choices(session, tasting)
    return render_template(
        "tastings/form.html",
        form=form,
        brew=brew,
        earlier=earlier,
        tasting=tasting,
        after_trial_id=after.trial_id if after else tasting and tasting.after_trial_id,
        scales=SCALES,
        definitions=JUST_RIGHT_DEFINITIONS,
        stale=tasting is None and after is None and clock.now() - brew.brewed_at > STALE,
        taster=dict(known).get(form.taster_id.data, ""),
    )


def _page_of(brew_id: int) -> str:
    return url_for("brews.show", brew_id=brew_id)


def _to_brew(brew_id: int) -> Response:
    return redirect(_page_of(brew_id), 303)
