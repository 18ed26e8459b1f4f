"""What brewers, grinders and waters have in common: a form, a page, a place in the bin.

`word` is brewer, grinder or water, as the endpoints are named.
"""

from collections.abc import Callable
from typing import Any

from flask import abort, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.gear.forms import GearForm
from app.gear.words import KINDS
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.gear import Gear, GearRow, add_gear
from app.journal.rows import set_columns
from app.web import clock
from app.web.session import reading, writing

Answer = str | Response | tuple[str, int]


def new(gear: Gear, word: str, form: GearForm) -> Answer:
    if request.method == "GET":
        return _form_page(word, form, f"A new {word}")
    if not form.validate():
        return _form_page(word, form, f"A new {word}"), 422
    with writing() as session:
        row = add_gear(session, gear, form.values())
    flash(f"Saved: {row.name}.")
    return redirect(_page_of(word, row.id), 303)


def edit(gear: Gear, row_id: int, word: str, form_of: Callable[..., GearForm]) -> Answer:
    if request.method == "GET":
        row = _row(reading(), gear, row_id)
        return _form_page(word, form_of(obj=row), row.name, row_id)
    form = form_of(request.form)
    if not form.validate():
        row = _row(reading(), gear, row_id)
        return _form_page(word, form, row.name, row_id), 422
    with writing() as session:
        row = _row(session, gear, row_id)
        set_columns(row, form.values())
    flash(f"Saved: {row.name}.")
    return redirect(_page_of(word, row_id), 303)


def move_to_bin(gear: Gear, row_id: int, word: str) -> Response:
    with writing() as session:
        row = _row(session, gear, row_id)
        put_in_bin(row, clock.now())
    flash(f"Moved to the bin: {row.name}. Brews made with it keep its name.")
    return redirect(_page_of(word, row_id), 303)


def restore(gear: Gear, row_id: int, word: str) -> Response:
    with writing() as session:
        row = _row(session, gear, row_id)
        take_from_bin(row)
    flash(f"Restored: {row.name}.")
    return redirect(_page_of(word, row_id), 303)


def _row(session: Session, gear: Gear, row_id: int) -> GearRow:
    row = session.get(gear, row_id)
    if not isinstance(row, gear):
        abort(404)
    return row


def _page_of(word: str, row_id: int) -> str:
    arguments: dict[str, Any] = {f"{word}_id": row_id}
    return url_for(f"gear.show_{word}", **arguments)


def _form_page(word: str, form: GearForm, title: str, row_id: int | None = None) -> str:
    back = url_for("gear.index") if row_id is None else _page_of(word, row_id)
    kinds = KINDS if word == "brewer" else {}
    return render_template("gear/edit.html", form=form, title=title, back=back, kinds=kinds)
