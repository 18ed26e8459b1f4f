"""Planning a blind test: the form, what the plan may expect, and starting it.

Sensible choices stand in the form and are said in one sentence; whoever wants others opens them.
"""

from contextlib import suppress
from uuid import uuid4

from flask import flash, jsonify, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.blind.choices import can_be_read, fit, left_out, sentence_of, told
from app.blind.cups import says_b_first
from app.blind.expect import expect, takes
from app.blind.forms import B_FIRST, EditForm, PlanForm, is_listed
from app.blind.from_pair import plan_of_pair
from app.blind.pages import (
    Answer,
    brews_in_words,
    note_steps,
    pages,
    test_or_404,
    to_test,
    to_trial,
)
from app.journal import questions
from app.journal.blind import drawing, saving
from app.journal.blind.plan import CUP_PARTS, refused_pouring
from app.journal.blind.put_back import steps_of
from app.journal.brews import newest_ids
from app.journal.history import Thing
from app.journal.on_hand import on_hand
from app.journal.recipes import pickable_revisions
from app.journal.sittings.doing import test_planned
from app.journal.tastings import likely_taster, taster_named
from app.journal.tastings import tasters as known_tasters
from app.models import BlindTest
from app.web import clock
from app.web.assets import show_charts
from app.web.changing import edited
from app.web.fields import number_or_none
from app.web.formats import formats
from app.web.saved_forms import sent_key
from app.web.session import reading, saved_at, writing

MOST_BREWS = 30
CUP_FIELDS = {f"{cup}_{part}" for cup in "ab" for part in CUP_PARTS}
AT_FIRST = CUP_FIELDS | {"p_d_pct", "taster_id", "new_taster"}  # what is not folded away
COPIED = (
    *CUP_FIELDS, "claim", "brewing", "method", "attribute", "more", "reminder", "rule",
    "fixed_trials", "controls", "pouring",
)  # fmt: skip
ASKED_FOR = ("a_brew_id", "b_brew_id", "a_revision_id", "b_revision_id", "question_id", "line")


@pages.get("/new")
def new() -> str:
    """A plan to look over; `like` copies another test's, `a_brew_id` and so on fill a cup."""
    session = reading()
    like = number_or_none(request.args.get("like"))
    test = session.get(BlindTest, like) if like else None
    given: dict[str, object] = {name: getattr(test, name) for name in COPIED} if test else {}
    if test:
        given["p_d_pct"] = f"{100 * test.p_d:.0f}"
        given["tasting"] = (
            "panel" if test.balanced else "several" if test.several_tasters else "one"
        )
        given = {name: value for name, value in given.items() if value is not None}
    asked = {name: number_or_none(request.args.get(name)) for name in ASKED_FOR}
    brew_a, brew_b = asked["a_brew_id"], asked["b_brew_id"]
    if brew_a and brew_b:
        given |= plan_of_pair(session, brew_a, brew_b, formats(), clock.now())
    form = PlanForm(data=given | {name: number for name, number in asked.items() if number})
    _offer_choices(session, form)
    return _form_page(form, look=is_listed(form.p_d_pct))


@pages.post("/new/look")
def look() -> str:
    """The same form again with what this plan may expect; nothing is saved."""
    form = PlanForm(request.form)
    _offer_choices(reading(), form)
    form.validate()
    return _form_page(form, look=not form.errors, otherwise=True)


@pages.post("/new/choices")
def choices() -> Response:
    """What goes with the choices made, for the page's script; nothing is saved."""
    return jsonify(told(PlanForm(request.form)))


@pages.post("/new")
def create() -> Answer:
    form = PlanForm(request.form)
    _offer_choices(reading(), form)
    if not form.validate():
        return _form_page(form, look=False), 422
    test, trial_id = form.test(), None
    test.entry_key = sent_key() or str(uuid4())
    with writing() as session:
        named = form.new_taster.data
        first = taster_named(session, named) if named else form.taster_id.data
        ids = [first, *(form.more_ids.data or ())]
        tasters = saving.existing_or_new_tasters(session, ids, form.more_names.names)
        saving.add_test(session, test, tasters, clock.now())
        if form.question_id.data:
            with suppress(LookupError, ValueError):  # it was taken away, or has enough
                question_id, now = form.question_id.data, clock.now()
                questions.tie(session, question_id, "blind_test", test.id, now=now)
        if form.line.data:
            with suppress(LookupError):
                test_planned(session, form.line.data, test.id)
        if "start" in request.form and _can_start(test):
            trial_id = drawing.draw_trial(session, test, tasters[0], clock.now())
        to = url_for(".trial", trial_id=trial_id) if trial_id else _page_of(form, test.id)
        saved_at(session, to)
        (taken,) = steps_of(session, test.id)
    if trial_id:
        note_steps(taken)
        flash("The plan stands, and this is its first trial.")
        return to_trial(trial_id)
    flash("The plan stands. It cannot change once the first trial is drawn.")
    return redirect(to, 303)


def _page_of(form: PlanForm, test_id: int) -> str:
    """The test's page, or the run sheet that it was planned from."""
    line_id = form.line.data
    if line_id:
        return url_for("sittings.line", line_id=line_id)
    return url_for(".show", test_id=test_id)


def _can_start(test: BlindTest) -> bool:
    """Whether its first trial can be drawn as it is planned. Several tasters are asked first, and
    what is coded beforehand is packed first."""
    return not test.several_tasters and test.pouring != "coded"


@pages.route("/<id:test_id>/edit", methods=["GET", "POST"])
def edit(test_id: int) -> Answer:
    test = test_or_404(reading(), test_id)
    edit = edited(EditForm(obj=test), Thing("blind_test", test_id))
    form = edit.opened()
    if request.method != "POST":
        return render_template("blind/edit.html", test=test, form=form)
    sound = form.validate()
    why = refused_pouring(test, form.pouring.data)
    if why:
        form.pouring.errors = [why]
    swapped = says_b_first(form.title.data or "", test.a_words, test.b_words)
    if swapped:
        form.title.errors = [B_FIRST]
    if not sound or why or swapped:
        return render_template("blind/edit.html", test=test, form=form), 422
    with edit.saving(form, to=url_for(".show", test_id=test_id)) as session:
        saving.change_test(session, test_id, form.values())
    flash("Changes saved.")
    return to_test(test_id)


def _offer_choices(session: Session, form: PlanForm) -> None:
    """Fill the lists of the form; what was picked before stays even if it is an old brew."""
    picked = [form[f"{cup}_brew_id"].data for cup in "ab"]
    brew_ids = [*newest_ids(session, MOST_BREWS), *(brew_id for brew_id in picked if brew_id)]
    used = [form[f"{cup}_filter_id"].data for cup in "ab"]
    on_shelf = on_hand(session, also=[filter_id for filter_id in used if filter_id])
    filters = [(row.filter_id, row.name) for row in on_shelf]
    revisions = pickable_revisions(session)
    brews = list(brews_in_words(session, brew_ids).items())
    recipes = [(row.revision_id, f"{row.name}, revision {row.number}") for row in revisions]
    for field, rows in (
        (form.a_brew_id, brews),
        (form.b_brew_id, brews),
        (form.a_revision_id, recipes),
        (form.b_revision_id, recipes),
        (form.a_filter_id, filters),
        (form.b_filter_id, filters),
    ):
        field.pick_from(rows, "none")
    known = dict(known_tasters(session))
    form.taster_id.pick_from(known.items())
    form.offer(known)
    asked = questions.open_questions(session, also=form.question_id.data)
    form.question_id.pick_from(asked, "none")
    if form.taster_id.data is None and not form.new_taster.data:
        form.taster_id.data = likely_taster(session, ()) or next(iter(known), None)


def _form_page(form: PlanForm, *, look: bool, otherwise: bool = False) -> str:
    """The plan's page, with what it would find where it is looked at, and its choices unfolded
    where one has asked for them (`otherwise`) or one is wrong."""
    offers = fit(form)
    expected = expect(form.test(), formats()) if look else None
    if expected and expected.chart:
        show_charts()
    chosen = all(map(form.pointed_at, "ab")) and CUP_FIELDS.isdisjoint(form.errors)
    return render_template(
        "blind/new.html",
        form=form,
        offers=offers,
        sentence=sentence_of(form),
        left_out=left_out(form, offers),
        takes=takes(form.test(), formats()) if can_be_read(form) else "",
        chosen=chosen,
        question=form.chosen_question,
        otherwise=otherwise or not AT_FIRST.issuperset(form.errors),
        expected=expected,
        tasters=form.taster_id.choices,
    )
