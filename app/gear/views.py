"""Brewers, grinders and waters: one page of all three, and a page and a form for each."""

from collections import Counter
from typing import Any, NamedTuple

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response
from wtforms import Form

from app.gear import alike
from app.gear.as_table import GEAR_COLUMNS, gear_lines
from app.gear.forms import KINDS, BrewerForm, GrinderForm, WaterForm
from app.gear.queries import MOST_COUNTED, latest_settings, listed
from app.journal.alike import alike_to, together
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.estimates import learned
from app.journal.gear import Gear, GearRow, GearValues, add_gear, grinder_names, latest_brews
from app.journal.history import Thing
from app.journal.learned import offsets_of, retention_of
from app.journal.rows import set_columns
from app.models import Brew, Brewer, Grinder, Water
from app.models.gear import BrewerValues, GrinderValues, WaterValues
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.changing import edited
from app.web.fields import filled_in
from app.web.session import reading, saved_at, writing

pages = Blueprint("gear", __name__, url_prefix="/gear")

Answer = str | Response | tuple[str, int]


class Shelf(NamedTuple):
    """What sets one kind of gear apart from the others."""

    gear: Gear
    form: type[Form]
    values: type[GearValues]


SHELVES = {
    "brewer": Shelf(Brewer, BrewerForm, BrewerValues),
    "grinder": Shelf(Grinder, GrinderForm, GrinderValues),
    "water": Shelf(Water, WaterForm, WaterValues),
}


@pages.get("")
def index() -> Answer:
    session = reading()
    brewers = together(listed(session, Brewer, Brew.brewer_id), lambda row: row.gear)
    grinders = listed(session, Grinder, Brew.grinder_id)
    waters = listed(session, Water, Brew.water_id)
    if asked_as_table():
        return as_table("gear", GEAR_COLUMNS, gear_lines(brewers, grinders, waters))
    counts = Counter(row.gear.first_id for row in brewers)
    return render_template(
        "gear/index.html",
        brewers=brewers,
        alike=[first_id for first_id, count in counts.items() if count > 1],
        grinders=grinders,
        waters=waters,
        most_counted=MOST_COUNTED,
        today=clock.today(),
    )


@pages.get("/brewers/<id:brewer_id>")
def show_brewer(brewer_id: int) -> str:
    session = reading()
    brewer = session.get(Brewer, brewer_id) or abort(404)
    known = learned(session)
    offsets = offsets_of(brewer.first_id, known)
    return render_template(
        "gear/show_brewer.html",
        gear=brewer,
        alike=alike_to(session, brewer),
        about=KINDS[brewer.kind],
        held=retention_of(brewer.first_id, brewer.kind, known),
        offsets=offsets,
        grinders=grinder_names(session, [offset.grinder_id for offset in offsets]),
        brews=latest_brews(session, Brew.brewer_id, brewer_id),
    )


@pages.post("/brewers/<id:brewer_id>/another")
def add_another(brewer_id: int) -> Response:
    with writing() as session:
        row = alike.add_another(session, session.get(Brewer, brewer_id) or abort(404))
        saved_at(session, _url("show", "brewer", row.id), _url("edit", "brewer", row.id))
    return _saved("brewer", row, f"Added: {row.name}. Change its name as you like.")


@pages.get("/grinders/<id:grinder_id>")
def show_grinder(grinder_id: int) -> str:
    session = reading()
    grinder = session.get(Grinder, grinder_id) or abort(404)
    settings = latest_settings(session, grinder_id)
    return render_template("gear/show_grinder.html", gear=grinder, settings=settings)


@pages.get("/waters/<id:water_id>")
def show_water(water_id: int) -> str:
    session = reading()
    water = session.get(Water, water_id) or abort(404)
    brews = latest_brews(session, Brew.water_id, water_id)
    return render_template("gear/show_water.html", gear=water, brews=brews)


def _new(word: str) -> Answer:
    shelf = SHELVES[word]
    form = shelf.form(request.form)
    if isinstance(form, BrewerForm):
        alike.offer(reading(), form)
    if request.method != "POST" or not form.validate():
        return _form_page(word, form, f"A new {word}", url_for("gear.index"))
    try:
        with writing() as session:
            row = add_gear(session, shelf.gear, filled_in(form, shelf.values))
            _save_alike(session, form, row)
            saved_at(session, _url("show", word, row.id), _url("edit", word, row.id))
    except ValueError as error:
        _say_beside(form, error)
        return _form_page(word, form, f"A new {word}", url_for("gear.index"))
    return _saved(word, row, f"Saved: {row.name}.")


def _edit(word: str, **ids: int) -> Answer:
    shelf = SHELVES[word]
    row = _row(reading(), word, ids)
    stands = alike.as_it_stands(reading(), row) if isinstance(row, Brewer) else shelf.form(obj=row)
    edit, page = edited(stands, Thing(word, row.id)), _url("show", word, row.id)
    form = edit.opened()
    if isinstance(form, BrewerForm) and isinstance(row, Brewer):
        alike.offer(reading(), form, row)
    if request.method != "POST" or not form.validate():
        return _form_page(word, form, row.name, page, edits=True)
    try:
        with edit.saving(form, to=page) as session:
            row = _row(session, word, ids)
            set_columns(row, filled_in(form, shelf.values))
            _save_alike(session, form, row)
    except ValueError as error:
        _say_beside(form, error)
        return _form_page(word, form, row.name, page, edits=True)
    return _saved(word, row, f"Saved: {row.name}.")


def _bin(word: str, **ids: int) -> Response:
    with writing(to=_url("show", word, ids[f"{word}_id"])) as session:
        row = _row(session, word, ids)
        put_in_bin(row, clock.now())
    return _saved(word, row, f"Moved to the bin: {row.name}. Brews made with it keep its name.")


def _restore(word: str, **ids: int) -> Response:
    with writing(to=_url("show", word, ids[f"{word}_id"])) as session:
        row = _row(session, word, ids)
        take_from_bin(row)
    return _saved(word, row, f"Restored: {row.name}.")


def _add_pages(word: str) -> None:
    one, both = f"/{word}s/<id:{word}_id>", ["GET", "POST"]
    add = pages.add_url_rule
    add(f"/{word}s/new", f"new_{word}", lambda: _new(word), methods=both)
    add(f"{one}/edit", f"edit_{word}", lambda **ids: _edit(word, **ids), methods=both)
    add(f"{one}/bin", f"bin_{word}", lambda **ids: _bin(word, **ids), methods=["POST"])
    add(f"{one}/restore", f"restore_{word}", lambda **ids: _restore(word, **ids), methods=["POST"])


for _word in SHELVES:
    _add_pages(_word)


def _save_alike(session: Session, form: Form, row: GearRow) -> None:
    if isinstance(form, BrewerForm) and isinstance(row, Brewer):
        alike.save(session, row, form.alike_id.data)


def _say_beside(form: Form, error: ValueError) -> None:
    """Two brewers became of two kinds after the form was checked."""
    form["alike_id"].errors = [*form["alike_id"].errors, str(error)]


def _row(session: Session, word: str, ids: dict[str, int]) -> GearRow:
    gear = SHELVES[word].gear
    row = session.get(gear, ids[f"{word}_id"])
    return row if isinstance(row, gear) else abort(404)


def _url(page: str, word: str, row_id: int) -> str:
    """Of one of the pages of a brewer, grinder or water: "show" or "edit"."""
    arguments: dict[str, Any] = {f"{word}_id": row_id}
    return url_for(f"gear.{page}_{word}", **arguments)


def _form_page(word: str, form: Form, title: str, back: str, *, edits: bool = False) -> Answer:
    kinds = KINDS if word == "brewer" else {}
    page = render_template(
        "gear/edit.html", form=form, title=title, back=back, kinds=kinds, edits=edits
    )
    return page, 422 if request.method == "POST" else 200


def _saved(word: str, row: GearRow, message: str) -> Response:
    flash(message)
    return redirect(_url("show", word, row.id), 303)
