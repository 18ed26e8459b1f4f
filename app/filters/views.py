"""Pages of filters: packs, single filters, taking one out, retiring it."""

from dataclasses import asdict

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from app.brewing.heat.heating import heating_kwh
from app.filters import queries
from app.filters.as_table import FILTER_COLUMNS, PACK_COLUMNS, every_filter, every_pack
from app.filters.forms import FilterForm, PackForm, pack_form_values
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.blind.evidence import blind_evidence_of
from app.journal.history import Thing, record_done
from app.journal.on_hand import on_hand
from app.journal.packs import add_pack, packs_with_left, take_again, take_fresh, taken_out
from app.journal.rows import set_columns, values_of
from app.journal.settings import last_currency
from app.models import Filter, FilterPack
from app.models.gear import FilterValues
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.assets import show_charts
from app.web.changing import edited
from app.web.fields import filled_in, number_or_none
from app.web.session import reading, saved_at, writing

pages = Blueprint("filters", __name__, url_prefix="/filters")

Answer = str | Response | tuple[str, int]
MOST_ON_HAND = 50
# The hot rinse whose electricity the page names.
RINSE_G, FROM_C, TO_C = 100.0, 20.0, 95.0


@pages.get("/")
def index() -> Answer:
    session = reading()
    if asked_as_table():
        return as_table("filters", FILTER_COLUMNS, every_filter(session))
    hand = on_hand(session, most=MOST_ON_HAND + 1)
    return render_template(
        "filters/index.html",
        packs=packs_with_left(session),
        any_pack=queries.any_pack(session),
        hand=hand[:MOST_ON_HAND],
        more=len(hand) > MOST_ON_HAND,
        today=clock.today(),
    )


@pages.get("/packs")
def packs() -> Answer:
    if asked_as_table():
        return as_table("packs", PACK_COLUMNS, every_pack(reading()))
    start = number_or_none(request.args.get("from"))
    page = queries.packs_page(reading(), start)
    return render_template(
        "filters/packs.html", packs=page.rows, start=start, older=page.next_start
    )


@pages.get("/retired")
def retired() -> Answer:
    if asked_as_table():
        rows = every_filter(reading(), Filter.retired_on.is_not(None))
        return as_table("retired-filters", FILTER_COLUMNS, rows)
    page = queries.retired_page(reading(), request.args)
    return render_template("filters/retired.html", page=page)


@pages.route("/packs/new", methods=["GET", "POST"])
def new_pack() -> Answer:
    sent = request.method == "POST"
    start = {"currency": last_currency(reading(), FilterPack)}
    form = PackForm(request.form) if sent else PackForm(data=start)
    if not sent or not form.validate():
        return _pack_form_page(form, None)
    with writing() as session:
        pack = add_pack(session, form.values())
        saved_at(session, _pack_url(pack.id), url_for(".edit_pack", pack_id=pack.id))
    return _to_pack(pack.id, "Pack saved.")


@pages.get("/packs/<id:pack_id>")
def show_pack(pack_id: int) -> Answer:
    session = reading()
    pack = session.get(FilterPack, pack_id) or abort(404)
    if asked_as_table():
        rows = every_filter(session, Filter.pack_id == pack_id)
        return as_table(f"pack-{pack_id}", FILTER_COLUMNS, rows)
    start = number_or_none(request.args.get("from"))
    page = queries.pack_filters(session, pack_id, start)
    return render_template(
        "filters/show_pack.html",
        pack=pack,
        totals=queries.pack_totals(session, pack),
        filters=page.rows,
        start=start,
        older=page.next_start,
        today=clock.today(),
    )


@pages.route("/packs/<id:pack_id>/edit", methods=["GET", "POST"])
def edit_pack(pack_id: int) -> Answer:
    session = reading()
    pack = session.get(FilterPack, pack_id) or abort(404)
    edit = edited(PackForm(data=pack_form_values(pack)), Thing("filter_pack", pack_id))
    form = edit.opened()
    form.taken = taken_out(session, pack_id)
    if request.method != "POST" or not form.validate():
        return _pack_form_page(form, pack)
    with edit.saving(form, to=_pack_url(pack_id)) as session:
        set_columns(session.get(FilterPack, pack_id) or abort(404), form.values())
    return _to_pack(pack_id, "Changes saved.")


@pages.post("/packs/<id:pack_id>/bin")
def bin_pack(pack_id: int) -> Response:
    with writing(to=_pack_url(pack_id)) as session:
        put_in_bin(session.get(FilterPack, pack_id) or abort(404), clock.now())
    return _to_pack(pack_id, "The pack is in the bin; brews through its filters keep them.")


@pages.post("/packs/<id:pack_id>/restore")
def restore_pack(pack_id: int) -> Response:
    with writing(to=_pack_url(pack_id)) as session:
        take_from_bin(session.get(FilterPack, pack_id) or abort(404))
    return _to_pack(pack_id, "The pack is back.")


@pages.post("/packs/<id:pack_id>/take")
def take(pack_id: int) -> Response:
    reading().get(FilterPack, pack_id) or abort(404)
    try:
        with writing() as session:
            fresh = take_fresh(session, pack_id)
            saved_at(session, _filter_url(fresh.id))
    except ValueError as error:
        flash(str(error), "error")
        return redirect(_pack_url(pack_id), 303)
    return _to_filter(fresh.id, f"No. {fresh.number} is out of the pack.")


@pages.get("/<id:filter_id>")
def show(filter_id: int) -> str:
    from app.filters.review import care, review

    session, today = reading(), clock.today()
    used = queries.filter_page(session, filter_id) or abort(404)
    reviewed = review(session, used, number_or_none(request.args.get("taster")))
    if reviewed.charts:
        show_charts()
    return render_template(
        "filters/show.html",
        filter=used,
        review=reviewed,
        blind_evidence=blind_evidence_of(session, clock.now(), filter_id=filter_id),
        today=today,
        care=care(used.pack.material, reviewed.total, reviewed.last_on, today),
        rinse_kwh=heating_kwh(RINSE_G, FROM_C, TO_C),
        unused=not queries.was_used(session, filter_id),
    )


@pages.route("/<id:filter_id>/edit", methods=["GET", "POST"])
def edit(filter_id: int) -> Answer:
    used = queries.filter_page(reading(), filter_id) or abort(404)
    stands = FilterForm(data=asdict(values_of(used, FilterValues)))
    edit = edited(stands, Thing("filter", filter_id))
    form = edit.opened()
    if request.method != "POST" or not form.validate():
        return render_template("filters/edit.html", form=form, filter=used), _status()
    with edit.saving(form, to=_filter_url(filter_id)) as session:
        set_columns(session.get(Filter, filter_id) or abort(404), filled_in(form, FilterValues))
    return _to_filter(filter_id, "Changes saved.")


@pages.post("/<id:filter_id>/retire")
def retire(filter_id: int) -> Response:
    with writing(to=_filter_url(filter_id)) as session:
        used = session.get(Filter, filter_id) or abort(404)
        if used.retired_on is None:
            used.retired_on = clock.today()
            record_done(used, "retired")
    return _to_filter(filter_id, "Retired: it is no longer offered for brewing.")


@pages.post("/<id:filter_id>/unretire")
def unretire(filter_id: int) -> Response:
    with writing(to=_filter_url(filter_id)) as session:
        used = session.get(Filter, filter_id) or abort(404)
        if used.retired_on is not None:
            used.retired_on = None
            record_done(used, "put back in use")
    return _to_filter(filter_id, "Back in use.")


@pages.post("/<id:filter_id>/put-back")
def put_back(filter_id: int) -> Response:
    with writing() as session:
        taken = session.get(Filter, filter_id, with_for_update=True) or abort(404)
        was_used = queries.was_used(session, filter_id)
        if not was_used:
            put_in_bin(taken, clock.now())
    if was_used:
        flash("A brew went through it, so it stays out of the pack.", "error")
        return redirect(url_for("filters.show", filter_id=filter_id), 303)
    return _to_pack(taken.pack_id, f"No. {taken.number} is back in the pack, and in the bin.")


@pages.post("/<id:filter_id>/restore")
def restore(filter_id: int) -> Response:
    try:
        with writing() as session:
            take_again(session, session.get(Filter, filter_id) or abort(404))
    except ValueError as error:
        flash(str(error), "error")
        return redirect(url_for("filters.show", filter_id=filter_id), 303)
    return _to_filter(filter_id, "The filter is out of its pack again, as it was.")


def _pack_form_page(form: PackForm, pack: FilterPack | None) -> Answer:
    return render_template("filters/pack_form.html", form=form, pack=pack), _status()


def _status() -> int:
    """Of a page with a form: opened, or sent with errors."""
    return 422 if request.method == "POST" else 200


def _pack_url(pack_id: int) -> str:
    return url_for("filters.show_pack", pack_id=pack_id)


def _filter_url(filter_id: int) -> str:
    return url_for("filters.show", filter_id=filter_id)


def _to_pack(pack_id: int, message: str) -> Response:
    flash(message)
    return redirect(_pack_url(pack_id), 303)


def _to_filter(filter_id: int, message: str) -> Response:
    flash(message)
    return redirect(_filter_url(filter_id), 303)
