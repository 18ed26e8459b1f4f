"""Pages of two brews set side by side: the saved ones, choosing two, and the two."""

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response
from wtforms import Form

from app.journal.as_table import every
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.blind.evidence import blind_evidence_of
from app.journal.brews import last_brew_id
from app.journal.pairs.brews import detailed_brews
from app.journal.pairs.pair import read_pair
from app.journal.pairs.rows import lines
from app.journal.pairs.saved import Comparison, save_comparison, saved_page, saved_with
from app.journal.questions import questions_of
from app.journal.sittings.doing import compared
from app.journal.sittings.reading import sitting_with_brews
from app.journal.told import pairs_apart, told_apart
from app.models import SideBySide
from app.models.base import NOTE_CHARS
from app.models.tastings import PREFERENCES
from app.side_by_side import choosing, figures, words
from app.side_by_side.as_table import PAIR_COLUMNS, pair_lines
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.assets import show_charts
from app.web.fields import NoteField, WordField, number_or_none
from app.web.formats import formats
from app.web.session import reading, writing

pages = Blueprint("side_by_side", __name__, url_prefix="/side-by-side")

Answer = str | Response | tuple[str, int]

PAIR = "/<id:brew_a>/<id:brew_b>"


class SaveForm(Form):
    preference = WordField("Preference", PREFERENCES, default="")
    note = NoteField("Note", longest=NOTE_CHARS)

    def values(self, brew_a: int, brew_b: int) -> Comparison:
        return Comparison(brew_a, brew_b, self.preference.data, self.note.data or "")


@pages.get("/")
def index() -> Answer:
    session = reading()
    if asked_as_table():
        pairs = every(lambda args: saved_page(session, args))
        return as_table("side-by-sides", PAIR_COLUMNS, pair_lines(session, pairs))
    page = saved_page(session, request.args)
    apart = pairs_apart(session, [(row.brew_a_id, row.brew_b_id) for row in page.rows], formats())
    return render_template(
        "side_by_side/index.html", page=page, apart=apart, last=last_brew_id(session),
        zone=clock.browser_zone(),
    )  # fmt: skip


@pages.get(PAIR)
def show(brew_a: int, brew_b: int) -> Answer:
    if brew_a == brew_b:
        return redirect(url_for(".pick", a=brew_a), 303)
    return _page(reading(), brew_a, brew_b, SaveForm())


@pages.post(PAIR)
def save(brew_a: int, brew_b: int) -> Answer:
    session, form = reading(), SaveForm(request.form)
    if brew_a == brew_b or len(detailed_brews(session, (brew_a, brew_b))) < 2:
        abort(404)
    if not form.validate():
        return _page(session, brew_a, brew_b, form), 422
    sitting_id = sitting_with_brews(session, [brew_a, brew_b])
    to = url_for(".show", brew_a=brew_a, brew_b=brew_b)
    if sitting_id:
        to = url_for("sittings.show", sitting_id=sitting_id)
    with writing(to=to) as session:
        saved = save_comparison(session, form.values(brew_a, brew_b), clock.now())
        compared(session, saved, clock.now())
    flash("Side by side saved.")
    return redirect(to, 303)


@pages.get("/two")
def two() -> Response:
    """Two brews ticked in a list: the earlier becomes cup A."""
    ticked = {number_or_none(text) for text in request.args.getlist("brew")} - {None}
    in_time = choosing.in_time(reading(), ticked) if len(ticked) < 3 else []
    if len(in_time) == 2:
        return redirect(url_for(".show", brew_a=in_time[0], brew_b=in_time[1]), 303)
    if len(in_time) == 1:
        return redirect(url_for(".pick", a=in_time[0]), 303)
    flash("Please tick two brews.", "error")
    return redirect(url_for("brews.index", choose=1), 303)


@pages.get("/pick")
def pick() -> Answer:
    """Choose cup B for a cup A; without one, tick two in the list of brews."""
    session, brew_a = reading(), number_or_none(request.args.get("a"))
    if brew_a is None:
        return redirect(url_for("brews.index", choose=1), 303)
    a = choosing.one_brew(session, brew_a) or abort(404)
    page = choosing.others_page(session, brew_a, request.args)
    same_bag = [] if page.newer else choosing.same_bag(session, a)
    told = told_apart(
        session, [*{row.id: row for row in (a, *same_bag, *page.rows)}.values()], formats()
    )
    return render_template("side_by_side/pick.html", a=a, same_bag=same_bag, page=page, told=told)


@pages.get("/with-before/<id:brew_id>")
def with_before(brew_id: int) -> Response:
    try:
        before = choosing.brew_before(reading(), brew_id)
    except LookupError:
        abort(404)
    if before is None:
        flash("There is no earlier brew; choose another.", "error")
        return redirect(url_for(".pick", a=brew_id), 303)
    return redirect(url_for(".show", brew_a=before, brew_b=brew_id), 303)


@pages.post("/saved/<id:saved_id>/bin")
def bin(saved_id: int) -> Response:
    with writing() as session:
        put_in_bin(row := session.get(SideBySide, saved_id) or abort(404), clock.now())
    return _to_pair(row, "The saved side by side is in the bin.")


@pages.post("/saved/<id:saved_id>/restore")
def restore(saved_id: int) -> Response:
    with writing() as session:
        take_from_bin(row := session.get(SideBySide, saved_id) or abort(404))
    return _to_pair(row, "The side by side is saved again.")


def _to_pair(saved: SideBySide, message: str) -> Response:
    flash(message)
    return redirect(url_for(".show", brew_a=saved.brew_a_id, brew_b=saved.brew_b_id), 303)


def _page(session: Session, brew_a: int, brew_b: int, form: SaveForm) -> str:
    over = "recipe" if request.args.get("over") == "recipe" else "bag"
    pair = read_pair(session, brew_a, brew_b, over) or abort(404)
    written = formats()
    apart, same = lines(pair.a, pair.b, pair.fairness, written)
    saved = saved_with(session, brew_a, brew_b)
    ours, theirs, fixed = pair.a.estimate, pair.b.estimate, written.fixed
    drawn = {
        "strength": figures.strength_chart(pair, written),
        "just_right": figures.just_right_chart(pair, written),
        "over_time": figures.over_time_chart(pair, over, written),
    }
    if any(drawn.values()):
        show_charts()
    return render_template(
        "side_by_side/show.html",
        a=pair.a,
        b=pair.b,
        fair=pair.fairness,
        apart=apart,
        same=same,
        scores=pair.scores,
        words=[
            *words.on_strength(ours, theirs, pair.apart.strength_pct, fixed),
            *words.on_extraction(ours, theirs, pair.apart.extraction_pct, fixed),
        ],
        b_less_a=pair.apart,
        sums=[("a", ours, words.sum_of(ours)), ("b", theirs, words.sum_of(theirs))],
        over=over,
        form=form,
        saved=saved,
        asked=questions_of(session, "side_by_side", saved[0].id) if saved else None,
        blind_evidence=blind_evidence_of(session, clock.now(), brew_ids=[brew_a, brew_b]),
        zone=clock.browser_zone(),
        **drawn,
    )
