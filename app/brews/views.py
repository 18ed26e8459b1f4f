"""Pages of brews: the list, one brew, logging and changing it."""

from io import BytesIO

from flask import Blueprint, abort, flash, redirect, render_template, request, send_file, url_for
from sqlalchemy.orm import Session
from werkzeug.datastructures import CombinedMultiDict
from werkzeug.wrappers import Response

from app.brews import asking, filling, of_line, of_run, queries
from app.brews.checking import check
from app.brews.form_page import filled_by_recipe, form_page, refused
from app.brews.forms import BrewForm, SearchForm
from app.brews.photos import TOO_LARGE
from app.brews.search import search_choices, search_page
from app.config import MAX_REQUEST_BYTES
from app.journal import photos
from app.journal.as_table import every
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.blind.evidence import blind_evidence_of
from app.journal.blind.tying import tie
from app.journal.brews import read_brews
from app.journal.changes.advice import advice
from app.journal.cups_as_table import CUP_COLUMNS, table_cups
from app.journal.history import Thing
from app.journal.pairs.saved import saved_with
from app.journal.questions import questions_of
from app.journal.rest import rest_on
from app.journal.saving_brews import add_brew, change_brew
from app.journal.tastings import tastings_of_brews
from app.journal.told import told_apart
from app.models import Brew, BrewPhoto
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.bodies import takes_up_to
from app.web.brew_url import FROM_URL
from app.web.changing import Edited, edited, sent_form
from app.web.formats import formats
from app.web.saved_forms import sent_key
from app.web.session import reading, saved_at, writing
from app.web.what_to_change import shown

pages = Blueprint("brews", __name__, url_prefix="/brews")

Answer = str | Response | tuple[str, int]


@pages.get("/")
def index() -> Answer:
    session = reading()
    if day := request.args.get("on"):  # as a calendar says it, whose page holds hundreds of days
        return redirect(url_for(".index", since=day, until=day))
    form = SearchForm(request.args)
    search_choices(session, form)
    form.validate()
    if asked_as_table():
        ids = every(lambda args: search_page(session, form, args))
        return as_table("brews", CUP_COLUMNS, table_cups(session, (row.id for row in ids)))
    page = search_page(session, form, request.args)
    brews = read_brews(session, [row.id for row in page.rows])
    narrowed = {k: v for k, v in request.args.items() if v and k in form.data}
    return render_template(
        "brews/index.html",
        form=form,
        page=page,
        brews=brews,
        told=told_apart(session, [brew.row for brew in brews], formats()),
        narrowed=narrowed,
        choose="choose" in request.args,
    )


@pages.get("/<id:brew_id>")
def show(brew_id: int) -> str:
    session = reading()
    brew = queries.brew_page(session, brew_id) or abort(404)
    spans = [(span.from_on, span.to_on) for span in brew.bag.frozen]
    return render_template(
        "brews/show.html",
        brew=brew,
        read=read_brews(session, [brew_id])[0],
        tastings=tastings_of_brews(session, [brew_id]).get(brew_id, []),
        comparisons=saved_with(session, brew_id),
        photo_alt=queries.photo_alt(session, brew_id),
        asked=questions_of(session, "brew", brew_id),
        blind_evidence=blind_evidence_of(session, clock.now(), brew_ids=[brew_id]),
        rest=rest_on(brew.brewed_on, brew.bag.roasted_on, spans),
        what=shown(advice(session, "brew", brew_id)),
        what_url=url_for("changes.brew", brew_id=brew_id),
    )


@pages.get("/new")
def new() -> Answer:
    session = reading()
    lists = filling.PickLists(session, clock.today())
    if "typed" in request.args:  # as it was typed before, from the clock of the brew
        form = BrewForm(request.args)
        lists.put_into(form)
        return form_page(form, lists)
    cups = of_line.start(session, lists, request.args)
    if isinstance(cups, Response):
        return cups
    if cups and len(cups) > 1:
        return of_line.elsewhere(len(cups))
    run = of_run.start(session, lists, request.args)
    if isinstance(run, Response):
        return run
    form = BrewForm(data=cups[0] if cups else run or filling.start(session, lists, request.args))
    lists.put_into(form)
    for name in FROM_URL & request.args.keys():
        form[name].process(request.args)
    asking.start(form)
    return of_line.on_the_clock(form) or form_page(form, lists)


def _too_large(brew_id: int | None = None) -> Answer:
    session, form, before = reading(), _sent_form(), None
    if brew_id is not None:
        before = queries.brew_to_change(session, brew_id) or abort(404)
        _edited(session, before, filling.PickLists(session, clock.today(), before))
    form.photo.errors = [TOO_LARGE]
    page, _ = refused(form, before)
    return page, 413


@pages.post("/new")
@takes_up_to(MAX_REQUEST_BYTES, _too_large)
def create() -> Answer:
    form, zone = _sent_form(), clock.browser_zone()
    if page := filled_by_recipe(form):
        return page
    brewed_at, jpeg = check(reading(), form, zone)
    if brewed_at is None:
        return refused(form)
    if questions := asking.asks(reading(), form):
        return refused(form, questions=questions)
    unnoted: list[str] = []
    try:
        with writing() as session:
            brew = add_brew(session, form.entry(brewed_at), zone, sent_key())
            untied = _tie(session, form, brew.id)
            if jpeg:
                photos.add_photo(session, brew.id, jpeg, form.photo_alt.data or "")
            to = url_for(".show", brew_id=brew.id)
            if form.for_trial and not untied:
                to = url_for("blind.trial", trial_id=form.for_trial[0])
            if form.for_line:
                unnoted = of_line.note(session, form.for_line, [brew.id])
                to = url_for("sittings.line", line_id=form.for_line)
            if form.for_run:
                unnoted += of_run.note(session, form.for_run, brew.id)
                to = url_for("experiments.run", run_id=form.for_run)
            saved_at(session, to, url_for(".change", brew_id=brew.id))
    except ValueError as error:
        form.filter_1.errors = [*form.filter_1.errors, str(error)]
        return refused(form)
    flash("Brew saved.")
    of_line.tell([*unnoted, untied] if untied else unnoted)
    return redirect(to, 303)


@pages.get("/<id:brew_id>/edit")
def edit(brew_id: int) -> str:
    session = reading()
    brew = queries.brew_to_change(session, brew_id) or abort(404)
    lists = filling.PickLists(session, clock.today(), brew)
    form = _edited(session, brew, lists).opened()
    lists.put_into(form)
    asking.start(form)
    return form_page(form, lists, brew)


@pages.post("/<id:brew_id>/edit")
@takes_up_to(MAX_REQUEST_BYTES, _too_large)
def change(brew_id: int) -> Answer:
    session = reading()
    before = queries.brew_to_change(session, brew_id) or abort(404)
    lists = filling.PickLists(session, clock.today(), before)
    edit, form = _edited(session, before, lists), _sent_form()
    if page := filled_by_recipe(form, before):
        return page
    brewed_at, jpeg = check(session, form, before.zone, before)
    if brewed_at is None:
        return refused(form, before)
    if questions := asking.asks(session, form, before):
        return refused(form, before, questions)
    lists.put_into(form)
    try:
        with edit.saving(form, to=url_for(".show", brew_id=brew_id)) as session:
            brew = queries.brew_to_change(session, brew_id) or abort(404)
            change_brew(session, brew, form.entry(brewed_at))
            photos.change_photo(session, brew, jpeg, form.photo_alt.data or "", clock.now())
    except ValueError as error:
        form.filter_1.errors = [*form.filter_1.errors, str(error)]
        return refused(form, before)
    return _to_brew(brew_id, "Changes saved.")


@pages.post("/<id:brew_id>/bin")
def bin(brew_id: int) -> Response:
    with writing() as session:
        put_in_bin(session.get(Brew, brew_id) or abort(404), clock.now())
    return _to_brew(brew_id, "The brew is in the bin; its filters count one use less.")


@pages.post("/<id:brew_id>/restore")
def restore(brew_id: int) -> Response:
    with writing() as session:
        take_from_bin(session.get(Brew, brew_id) or abort(404))
    return _to_brew(brew_id, "The brew is back in the journal.")


@pages.get("/<id:brew_id>/photo.jpg")
def photo(brew_id: int) -> Response:
    picture = photos.shown_photo(reading(), brew_id) or abort(404)
    return send_file(BytesIO(picture.jpeg), mimetype="image/jpeg")


@pages.post("/<id:brew_id>/photo/remove")
def remove_photo(brew_id: int) -> Response:
    with writing() as session:
        brew = session.get(Brew, brew_id) or abort(404)
        if not photos.remove_photo(session, brew, clock.now()):
            abort(404)
    return _to_brew(brew_id, "The photo is in the bin.")


@pages.post("/<id:brew_id>/photos/<id:photo_id>/restore")
def restore_photo(brew_id: int, photo_id: int) -> Response:
    with writing() as session:
        picture = session.get(BrewPhoto, photo_id)
        if picture is None or picture.brew_id != brew_id:
            abort(404)
        replaced = photos.restore_photo(session, picture, clock.now())
    saying = "The photo is back; the one shown until now is in the bin."
    return _to_brew(brew_id, saying if replaced else "The photo is back.")


def _sent_form() -> BrewForm:
    return BrewForm(CombinedMultiDict((request.files, sent_form())))


def _edited(session: Session, brew: Brew, lists: filling.PickLists) -> Edited[BrewForm]:
    values = filling.as_it_was(brew)
    values["brewed_at"] = clock.wall_time(brew.brewed_at, brew.zone)
    values["photo_alt"] = queries.photo_alt(session, brew.id) or ""
    form = BrewForm(data=values)
    lists.put_into(form)
    return edited(form, Thing("brew", brew.id))


def _tie(session: Session, form: BrewForm, brew_id: int) -> str | None:
    """Tie the brew to the blind trial it was logged for; why not, where it cannot be."""
    return tie(session, *form.for_trial, brew_id) if form.for_trial else None


def _to_brew(brew_id: int, message: str) -> Response:
    flash(message)
    return redirect(url_for("brews.show", brew_id=brew_id), 303)
