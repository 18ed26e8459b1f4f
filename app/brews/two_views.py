"""Logging two brews made beside each other: one page, one save, then side by side."""

from collections.abc import Mapping

from flask import Blueprint, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.brews import asking, filling, of_line
from app.brews.asking import Ask
from app.brews.checking import check
from app.brews.filling import SLOTS
from app.brews.forms import ROWS, field_in_words, ratio_line
from app.brews.shared_lists import share
from app.brews.two import Pair
from app.brews.two_brewers import both_cups
from app.journal.brews import last_brew_id
from app.journal.saving_brews import add_brew
from app.web import clock
from app.web.brew_url import FROM_URL
from app.web.changing import sent_form
from app.web.saved_forms import sent_key
from app.web.session import reading, saved_at, writing

pages = Blueprint("two_cups", __name__, url_prefix="/brews/two")

LISTS_OF_A = dict.fromkeys(SLOTS[1:], "a-filter_1")
LISTS_OF_B = dict.fromkeys(SLOTS, "a-filter_1") | {
    name: f"a-{name}" for name in ("bag_id", "brewer_id", "revision_id", "grinder_id", "water_id")
}

Answer = str | Response | tuple[str, int]


@pages.get("/new")
def new() -> Answer:
    session = reading()
    if last_brew_id(session) is None and "line" not in request.args:
        flash("Log one brew first; the next ones can be two at a time.")
        return redirect(url_for("brews.new"), 303)
    lists = filling.PickLists(session, clock.today())
    if (
        "a-dose_g" in request.args and "like" not in request.args
    ):  # as it was typed before, from the clock of both
        return _page(Pair(request.args), lists)
    cups = of_line.start(session, lists, request.args)
    if isinstance(cups, Response):
        return cups
    if cups and len(cups) < 2:
        return of_line.elsewhere(len(cups))
    started = cups or both_cups(session, _first(session, lists), lists)
    pair = Pair(values=started if cups else filling.second_recipe(session, started, request.args))
    for form in pair.cups.values():
        lists.put_into(form)
        for name in FROM_URL:
            if form[name].name in request.args:
                form[name].process(request.args)
        asking.start(form)
    clock_page = of_line.on_the_clock(*pair.cups.values())
    return clock_page or _page(pair, lists)


def _first(session: Session, lists: filling.PickLists) -> filling.FormValues:
    return filling.start(session, lists, request.args)


@pages.post("/new")
def create() -> Answer:
    pair, zone = Pair(sent_form()), clock.browser_zone()
    session = reading()
    if any(asking.wants_recipe(form) for form in pair.cups.values()):
        return _filled_by_recipe(pair)
    brewed_at, _ = check(session, pair.a, zone)
    also, _ = check(session, pair.b, zone)
    if not pair.share_no_filter() or brewed_at is None or also is None:
        return _refused(pair)
    asked = {f"{letter.lower()}-": asking.asks(session, form) for letter, form in pair.cups.items()}
    if any(asked.values()):
        return _refused(pair, asked)
    unnoted: list[str] = []
    try:
        with writing() as session:
            a = add_brew(session, pair.a.entry(brewed_at), zone, sent_key())
            b = add_brew(session, pair.b.entry(brewed_at), zone)
            to = url_for("side_by_side.show", brew_a=a.id, brew_b=b.id)
            if line_id := pair.a.for_line:
                unnoted = of_line.note(session, line_id, [a.id, b.id])
                to = url_for("sittings.line", line_id=line_id)
            saved_at(session, to, url_for("brews.change", brew_id=a.id))
    except ValueError as error:
        pair.b.filter_1.errors = [*pair.b.filter_1.errors, str(error)]
        return _refused(pair)
    flash("Both brews saved.")
    of_line.tell(unnoted)
    return redirect(to, 303)


def _refused(pair: Pair, asked: Mapping[str, list[Ask]] | None = None) -> tuple[str, int]:
    return _page(pair, filling.PickLists(reading(), clock.today()), asked), 422


def _filled_by_recipe(pair: Pair) -> tuple[str, int]:
    """Both cups, with what its recipe says in the one it was asked for; nothing is saved yet."""
    lists = filling.PickLists(reading(), clock.today())
    for form in pair.cups.values():
        lists.put_into(form)
        if asking.wants_recipe(form):
            asking.fill(reading(), form, lists)
    return _page(pair, lists, filled=True), 422


def _page(
    pair: Pair,
    lists: filling.PickLists,
    asked: Mapping[str, list[Ask]] | None = None,
    *,
    filled: bool = False,
) -> str:
    for form in pair.cups.values():
        lists.put_into(form)
    said = {field.name: field_in_words(field) for field in pair}
    pair.name_cups()
    return render_template(
        "brews/two.html",
        pair=pair,
        rows=ROWS,
        like=share(pair.a, LISTS_OF_A) | share(pair.b, LISTS_OF_B),
        said=said,
        asked=asked or {},
        filled=filled,
        ratios={letter: ratio_line(form) for letter, form in pair.cups.items()},
    )
