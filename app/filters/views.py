"""Pages of filters: packs, single filters, taking one out, retiring it."""

from __future__ import annotations

from typing import Any, TypeVar

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import Form

from app.filters import lists, queries
from app.filters.forms import FilterForm, PackForm, filter_as_kept, pack_as_kept
from app.filters.review import review
from app.filters.words import care, hot_rinse_kwh
from app.journal.blind.evidence import blind_evidence_of
from app.journal.packs import packs_with_left, take_fresh, taken_out
from app.journal.uses import on_hand
from app.models import Filter, FilterPack
from app.web import clock
from app.web.fields import number_or_none
from app.web.policy import allow_charts
from app.web.session import reading, writing

pages = Blueprint("filters", __name__, url_prefix="/filters")

Answer = str | Response | tuple[str, int]
MOST_ON_HAND = 50
AnyForm = TypeVar("AnyForm", bound=Form)


@pages.get("/")
def index() -> str:
    session = reading()
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
def packs() -> str:
    start = number_or_none(request.args.get("from"))
    rows, older = lists.packs_page(reading(), start)
    return render_template("filters/packs.html", packs=rows, start=start, older=older)


@pages.get("/retired")
def retired() -> str:
    page = lists.retired_page(reading(), request.args)
    return render_template("filters/retired.html", page=page)


@pages.route("/packs/new", methods=["GET", "POST"])
def new_pack() -> Answer:
    form = _form(PackForm, {"currency": queries.last_currency(reading())})
    if request.method == "GET" or not form.validate():
        return _form_page("filters/pack_form.html", form=form, pack=None)
    with writing() as session:
        pack = FilterPack(**form.columns())
        session.add(pack)
    return _to_pack(pack.id, "Pack saved.")


@pages.get("/packs/<id:pack_id>")
def show_pack(pack_id: int) -> str:
    session = reading()
    pack = session.get(FilterPack, pack_id) or abort(404)
    start = number_or_none(request.args.get("from"))
    rows, older = lists.pack_filters(session, pack_id, start)
    return render_template(
        "filters/show_pack.html",
        pack=pack,
        totals=queries.pack_totals(session, pack),
        filters=rows,
        start=start,
        older=older,
        today=clock.today(),
    )


@pages.route("/packs/<id:pack_id>/edit", methods=["GET", "POST"])
def edit_pack(pack_id: int) -> Answer:
    session = reading()
    pack = session.get(FilterPack, pack_id) or abort(404)
    form = _form(PackForm, pack_as_kept(pack))
    form.taken = taken_out(session, pack_id)
    if request.method == "GET" or not form.validate():
        return _form_page("filters/pack_form.html", form=form, pack=pack)
    with writing() as session:
        _set(session.get(FilterPack, pack_id) or abort(404), form.columns())
    return _to_pack(pack_id, "Changes saved.")


@pages.post("/packs/<id:pack_id>/bin")
def bin_pack(pack_id: int) -> Response:
    with writing() as session:
        (session.get(FilterPack, pack_id) or abort(404)).binned_at = clock.now()
    return _to_pack(pack_id, "The pack is in the bin; brews through its filters keep them.")


@pages.post("/packs/<id:pack_id>/restore")
def restore_pack(pack_id: int) -> Response:
    with writing() as session:
        (session.get(FilterPack, pack_id) or abort(404)).binned_at = None
    return _to_pack(pack_id, "The pack is back.")


@pages.post("/packs/<id:pack_id>/take")
def take(pack_id: int) -> Response:
    reading().get(FilterPack, pack_id) or abort(404)
    try:
        with writing() as session:
            fresh = take_fresh(session, pack_id)
    except ValueError as trouble:
        flash(str(trouble), "error")
        return redirect(url_for("filters.show_pack", pack_id=pack_id), 303)
    return _to_filter(fresh.id, f"No. {fresh.number} is out of the pack.")


@pages.get("/<id:filter_id>")
def show(filter_id: int) -> str:
    session, today = reading(), clock.today()
    paper = queries.filter_page(session, filter_id) or abort(404)
    told = review(session, paper)
    last_on = told.uses[0].brew.brewed_on if told.uses else None
    allow_charts()
    return render_template(
        "filters/show.html",
        filter=paper,
        review=told,
        last_on=last_on,
        blind_evidence=blind_evidence_of(session, filter_id=filter_id),
        today=today,
        care=care(paper.pack.material, told.total, last_on, today),
        rinse_kwh=hot_rinse_kwh(),
        unused=not queries.was_used(session, filter_id),
    )


@pages.route("/<id:filter_id>/edit", methods=["GET", "POST"])
def edit(filter_id: int) -> Answer:
    paper = queries.filter_page(reading(), filter_id) or abort(404)
    form = _form(FilterForm, filter_as_kept(paper))
    if request.method == "GET" or not form.validate():
        return _form_page("filters/edit.html", form=form, filter=paper)
    with writing() as session:
        _set(session.get(Filter, filter_id) or abort(404), form.columns())
    return _to_filter(filter_id, "Changes saved.")


@pages.post("/<id:filter_id>/retire")
def retire(filter_id: int) -> Response:
    with writing() as session:
        (session.get(Filter, filter_id) or abort(404)).retired_on = clock.today()
    return _to_filter(filter_id, "Retired: it is no longer offered for brewing.")


@pages.post("/<id:filter_id>/unretire")
def unretire(filter_id: int) -> Response:
    with writing() as session:
        (session.get(Filter, filter_id) or abort(404)).retired_on = None
    return _to_filter(filter_id, "Back in use.")


@pages.post("/<id:filter_id>/put-back")
def put_back(filter_id: int) -> Response:
    with writing() as session:
        paper = session.get(Filter, filter_id) or abort(404)
        used = queries.was_used(session, filter_id)
        if not used:
            session.delete(paper)
    if used:
        flash("A brew went through it, so it stays out of the pack.", "error")
        return redirect(url_for("filters.show", filter_id=filter_id), 303)
    return _to_pack(paper.pack_id, f"No. {paper.number} is back in the pack.")


def _form(form_of: type[AnyForm], kept: dict[str, Any]) -> AnyForm:
    """The form as it was sent, or with what is kept so far."""
    return form_of(request.form) if request.method == "POST" else form_of(data=kept)


def _form_page(template: str, **values: Any) -> Answer:
    """The form as it stands: at first sight, or with what is to be mended."""
    return render_template(template, **values), 422 if request.method == "POST" else 200


def _set(row: FilterPack | Filter, columns: dict[str, Any]) -> None:
    for name, value in columns.items():
        setattr(row, name, value)


def _to_pack(pack_id: int, said: str) -> Response:
    flash(said)
    return redirect(url_for("filters.show_pack", pack_id=pack_id), 303)


def _to_filter(filter_id: int, said: str) -> Response:
    flash(said)
    return redirect(url_for("filters.show", filter_id=filter_id), 303)
