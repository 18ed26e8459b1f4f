"""Logging two brews made beside each other: one page, one save, then side by side."""

from flask import Blueprint, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from app.brews import filling
from app.brews.checking import check
from app.brews.forms import ROWS, field_in_words, ratio_line
from app.brews.two import Pair
from app.brews.two_brewers import both_cups
from app.journal.brews import last_brew_id
from app.journal.saving_brews import add_brew
from app.web import clock
from app.web.changing import sent_form
from app.web.saved_forms import sent_key
from app.web.session import reading, saved_at, writing

pages = Blueprint("two_cups", __name__, url_prefix="/brews/two")

Answer = str | Response | tuple[str, int]


@pages.get("/new")
def new() -> Answer:
    session = reading()
    if last_brew_id(session) is None:
        flash("Log one brew first; the next ones can be two at a time.")
        return redirect(url_for("brews.new"), 303)
    lists = filling.PickLists(session, clock.today())
    if "a-dose_g" in request.args:  # as it was typed before, from the clock of both
        return _page(Pair(request.args), lists)
    first = filling.start(session, lists, request.args)
    return _page(Pair(values=both_cups(session, first, lists)), lists)


@pages.post("/new")
def create() -> Answer:
    pair, zone = Pair(sent_form()), clock.browser_zone()
    session = reading()
    brewed_at, _ = check(session, pair.a, zone)
    also, _ = check(session, pair.b, zone)
    if not pair.share_no_filter() or brewed_at is None or also is None:
        return _refused(pair)
    try:
        with writing() as session:
            a = add_brew(session, pair.a.entry(brewed_at), zone, sent_key())
            b = add_brew(session, pair.b.entry(brewed_at), zone)
            to = url_for("side_by_side.show", brew_a=a.id, brew_b=b.id)
            saved_at(session, to, url_for("brews.change", brew_id=a.id))
    except ValueError as error:
        pair.b.filter_1.errors = [*pair.b.filter_1.errors, str(error)]
        return _refused(pair)
    flash("Both brews saved.")
    return redirect(to, 303)


def _refused(pair: Pair) -> tuple[str, int]:
    return _page(pair, filling.PickLists(reading(), clock.today())), 422


def _page(pair: Pair, lists: filling.PickLists) -> str:
    for form in pair.cups.values():
        lists.put_into(form)
    said = {field.name: field_in_words(field) for field in pair}
    pair.name_cups()
    return render_template(
        "brews/two.html",
        pair=pair,
        rows=ROWS,
        said=said,
        ratios={letter: ratio_line(form) for letter, form in pair.cups.items()},
    )
