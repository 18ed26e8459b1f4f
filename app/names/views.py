"""Pages of names: all of them, one of them, and two that are to be one."""

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.database import while_unchanged
from app.journal.names import alike, changing, taking_back
from app.journal.names.listing import KINDS, Named, NameKind, listed, one_named
from app.journal.names.merging import preview
from app.models import NameChange
from app.names import words
from app.names.as_table import NAME_COLUMNS, name_lines
from app.names.forms import NameForm
from app.text import search_text
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.fields import clean_text, number_or_none
from app.web.formats import formats
from app.web.session import reading, writing

pages = Blueprint("names", __name__, url_prefix="/names")

Answer = str | Response | tuple[str, int]
ONE = "/<any(taster,bean,roaster):kind>/<id:name_id>"
MOST_LISTED = 80
MOST_CHANGES = 5


@pages.get("/")
def index() -> Answer:
    session, asked = reading(), clean_text(request.args.get("q"))[:200]
    every, pairs = while_unchanged(session, "names", lambda: _all(session))
    found = {kind: _saying(names, asked) for kind, names in every.items()}
    if asked_as_table():
        rows = [one for names in found.values() for one in names]
        return as_table("names", NAME_COLUMNS, name_lines(rows))
    return render_template(
        "names/index.html",
        asked=asked,
        found={kind: names[:MOST_LISTED] for kind, names in found.items()},
        hidden={kind: max(0, len(names) - MOST_LISTED) for kind, names in found.items()},
        any_name=any(every.values()),
        heads=words.HEADS,
        alike=[] if asked else pairs,
        changes=[(one, words.said(one)) for one in changing.latest(session, MOST_CHANGES)],
        zone=clock.browser_zone(),
    )


def _all(session: Session) -> tuple[dict[NameKind, list[Named]], list[tuple[Named, Named]]]:
    """Every name with what it is in, counted over the whole journal, and those spelled alike."""
    every = {kind: listed(session, kind) for kind in KINDS}
    return every, [pair for names in every.values() for pair in alike.suggest(names)]


def _saying(names: list[Named], asked: str) -> list[Named]:
    wanted = search_text(asked).split()
    return [one for one in names if all(word in search_text(one.name, one.more) for word in wanted)]


@pages.route(ONE, methods=["GET", "POST"])
def show(kind: NameKind, name_id: int) -> Answer:
    """Its form, which renames it, and what it could be made one with."""
    named = _named(reading(), kind, name_id)
    form = NameForm(request.form) if request.method == "POST" else None
    if form is None or not _fits(named, form):
        return _page(named, form)
    name = form.name.data or ""
    try:
        with writing(to=url_for(".index")) as session:
            change = changing.rename(session, _named(session, kind, name_id), name, clock.now())
            done = words.done(change)
    except changing.NameTakenError as taken:
        form.name.errors = [*form.name.errors, str(taken)]
        return _page(named, form, taken.other)
    flash(done)
    return redirect(url_for(".index"), 303)


@pages.route(f"{ONE}/into", methods=["GET", "POST"])
def into(kind: NameKind, name_id: int) -> Answer:
    """What making it one with another would do; and doing it."""
    sent = request.method == "POST"
    session, asked = reading(), (request.form if sent else request.args).get("other")
    named, number = _named(session, kind, name_id), number_or_none(asked)
    other = one_named(session, kind, number) if number else None
    if other is None or other.id == name_id:
        flash(words.ITSELF if other else words.CHOOSE, "error")
        return redirect(url_for(".show", kind=kind, name_id=name_id), 303)
    seen = preview(session, named, other, formats())
    was = [request.form.get("was"), request.form.get("other_was")]
    if not sent or seen.refused or was != [named.name, other.name]:
        page = render_template("names/into.html", named=named, other=other, seen=seen, sent=sent)
        return page, 422 if sent else 200
    with writing(to=url_for(".index")) as session:
        done = words.done(changing.merge(session, named, other, clock.now()))
    flash(done)
    return redirect(url_for(".index"), 303)


@pages.post("/changes/<id:change_id>/take-back")
def take_back(change_id: int) -> Response:
    try:
        with writing(to=url_for(".index")) as session:
            change = session.get(NameChange, change_id) or abort(404)
            told = taking_back.in_words(change, taking_back.take_back(session, change, clock.now()))
    except taking_back.InTheWayError as why:
        flash(str(why), "error")
    else:
        flash(told)
    return redirect(url_for(".index"), 303)


def _named(session: Session, kind: NameKind, name_id: int) -> Named:
    return one_named(session, kind, name_id) or abort(404)


def _fits(named: Named, form: NameForm) -> bool:
    """Whether the form may be saved; else it says why not."""
    if not form.validate():
        return False
    why = ""
    if form.was.data != named.name:
        why = words.WAS.format(now=named.name)
    elif form.name.data == named.name:
        why = words.SAME
    form.name.errors = [*form.name.errors, why] if why else form.name.errors
    return not why


def _page(named: Named, form: NameForm | None, taken: Named | None = None) -> Answer:
    others = [one for one in listed(reading(), named.kind) if one.id != named.id]
    others.sort(key=lambda one: -alike.likeness(named, one))
    page = render_template(
        "names/show.html",
        named=named,
        form=form or NameForm(data={"name": named.name, "was": named.name}),
        others=others,
        taken=taken,
        what_moves=words.WHAT_MOVES[named.kind],
    )
    return page, 422 if form else 200
