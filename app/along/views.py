"""Brewing along: the clock of one cup or of two, then on to the log with the times it took."""

from collections.abc import Mapping
from functools import partial
from urllib.parse import urlencode

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from app.along.forms import cups_of, to_log, typed
from app.along.plan import plan_of
from app.along.words import cautions
from app.brewing.along.together import TURN_S
from app.config import MAX_REQUEST_BYTES
from app.journal.recipes import revision
from app.journal.rows import values_of
from app.models import Brew
from app.models.recipes import Amounts
from app.web import clock
from app.web.bodies import takes_up_to
from app.web.brew_url import AMOUNTS, as_typed
from app.web.session import reading

pages = Blueprint("along", __name__, url_prefix="/along")

Answer = str | Response | tuple[str, int]

MOST_ADDRESS_CHARS = 8000
LONG_CHARS = 300


@pages.get("/")
def show() -> Answer:
    forms = cups_of(request.args)
    is_pair = "B" in forms
    log = "two_cups.new" if is_pair else "brews.new"
    carried = to_log(request.args, is_pair=is_pair)
    if "A" not in forms or not all(form.validate() for form in forms.values()):
        flash("To brew along, say at least how much coffee and how much water.", "error")
        return redirect(_address(log, carried), 303)
    cups = {letter: form.cup for letter, form in forms.items()}
    return render_template(
        "along/show.html",
        plan=plan_of(reading(), cups),
        cautions=cautions(cup.made for cup in cups.values()),
        turn_s=TURN_S,
        now_ms=round(clock.now().timestamp() * 1000),
        is_pair=is_pair,
        log=url_for(log),
        carried=carried,
    )


def _carry(*, without_photo: bool) -> Answer:
    to = _address(".show", typed(request.form))
    if len(to) > MOST_ADDRESS_CHARS:
        notes = {name: text for name, text in request.form.items() if len(text) > LONG_CHARS}
        return render_template("along/too_long.html", notes=notes), 413
    if without_photo:
        flash("The photo you chose is not carried along: add it again when you log.", "error")
    return redirect(to, 303)


@pages.post("/typed")
@takes_up_to(MAX_REQUEST_BYTES, partial(_carry, without_photo=True))
def from_form() -> Answer:
    """What is typed into a log form, saved nowhere yet. Its notes stay in the browser, unless it
    runs no script; then they go into the address, which they must not make too long."""
    return _carry(without_photo=any(photo.filename for photo in request.files.values()))


@pages.get("/like/<id:brew_id>")
def like(brew_id: int) -> Response:
    brew = reading().get(Brew, brew_id) or abort(404)
    args = _amounts(values_of(brew, Amounts))
    args |= {"a-like": str(brew_id), "a-brewer_id": str(brew.brewer_id)}
    if brew.revision_id:
        args["a-revision_id"] = str(brew.revision_id)
    return redirect(_address(".show", args), 303)


@pages.get("/recipe/<id:revision_id>")
def recipe(revision_id: int) -> Response:
    of = revision(reading(), revision_id) or abort(404)
    args = _amounts(values_of(of, Amounts)) | {"a-recipe": str(of.id), "a-revision_id": str(of.id)}
    if of.brewer_id:
        args["a-brewer_id"] = str(of.brewer_id)
    return redirect(_address(".show", args), 303)


def _address(endpoint: str, args: Mapping[str, str]) -> str:
    return f"{url_for(endpoint)}?{urlencode(args)}"


def _amounts(made: Amounts) -> dict[str, str]:
    args = {f"a-{name}": as_typed(name, getattr(made, name)) for name in sorted(AMOUNTS)}
    if made.flipped:
        args["a-flipped"] = "y"
    return {name: text for name, text in args.items() if text}
