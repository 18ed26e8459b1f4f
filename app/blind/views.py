"""Pages of blind tests: the list, one test with its evidence, and going on, stopping, binning."""

from itertools import chain

from flask import abort, flash, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.blind import (  # noqa: F401  importing views adds their pages to the blueprint
    figures,
    helper_views,
    packing_views,
    plan_views,
    pour_views,
    trial_views,
    tying_views,
)
from app.blind.as_table import TestLine, tally, test_lines
from app.blind.forms import ReasonForm
from app.blind.pages import Answer, end_if_settled, pages, step, test_or_404, to_test, to_trial
from app.blind.tasters import MoreTasters
from app.blind.words import BREWING_NAMES, METHOD_NAMES, RULE_NAMES, held, meters, outcome, question
from app.journal.as_table import columns, every
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.blind import drawing, saving
from app.journal.blind import open as queries
from app.journal.blind.afterthoughts import afterthoughts_of
from app.journal.blind.answers import Answers, answers_by_test, answers_of
from app.journal.blind.beside import voided
from app.journal.blind.marks import marks_of
from app.journal.blind.packets import ready, refused_packing
from app.journal.blind.standing import results_hidden, standing
from app.journal.blind.tasters import LUCK, progress_of_tasters
from app.journal.blind.told import titles_told_apart
from app.journal.questions import questions_of
from app.journal.tastings import tasters as known_tasters
from app.models import BlindTest
from app.sensory.blind.record import size_of
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.assets import show_charts
from app.web.fields import number_or_none
from app.web.formats import formats
from app.web.session import reading, saved_at

NOBODY = "Name at least one taster."
UNFINISHED = "One trial is not finished: answer it, read its mark, or void it, before stopping."


@pages.get("/")
def index() -> Answer:
    session = reading()
    if asked_as_table():
        ended = every(lambda args: queries.ended_page(session, args))
        every_test = chain(queries.open_tests(session), ended)
        head = columns("test", TestLine)
        return as_table("blind-tests", head, test_lines(session, every_test, clock.now()))
    page = queries.ended_page(session, request.args)
    tests = [] if page.newer else queries.open_tests(session)
    listed = [*tests, *page.rows]
    drawn = queries.trials_by_test(session, [test.id for test in listed])
    answers = answers_by_test(session, drawn, clock.now())
    counts = {test.id: _count(test, answers[test.id]) for test in listed}
    states = {test.id: standing(test, answers[test.id]).state for test in page.rows}
    return render_template(
        "blind/index.html",
        tests=tests,
        page=page,
        counts=counts,
        states=states,
        told=titles_told_apart(listed, formats()),
        method_names=METHOD_NAMES,
        rule_names=RULE_NAMES,
    )


def _count(test: BlindTest, answers: Answers) -> str:
    """How many trials, and how many right where that may be told."""
    found = tally(test, answers)
    waiting = f", {found.waiting} waiting for a mark" if found.waiting else ""
    if found.answered is None:
        return f"no trial yet{waiting}"
    if found.right is None:
        return f"{found.answered} answered{waiting}"
    what = f"for {test.more}" if test.more else "right"
    return f"{found.right} of {found.answered} {what}{waiting}"


@pages.get("/<id:test_id>")
def show(test_id: int) -> str:
    session = reading()
    test = test_or_404(session, test_id)
    trials = {test_id: queries.trials_of(session, test_id)}
    answers = answers_by_test(session, trials, clock.now())[test_id]
    finished = () if results_hidden(test) else answers.finished
    read = None if results_hidden(test) else standing(test, answers)
    tasters = queries.tasters_of(session, test_id)
    drawn = figures.charts(test, read) if read else None
    if drawn:
        show_charts()
    return render_template(
        "blind/show.html",
        test=test,
        method_name=METHOD_NAMES[test.method],
        brewing_name=BREWING_NAMES[test.brewing],
        rule_name=RULE_NAMES[test.rule],
        size=size_of(test.p_d),
        question=question(test),
        read=read,
        voids=voided(answers) if read is None else "",
        marks=marks_of(session, [test], trials)[test_id],
        meters=meters(read, test.rule) if read else [],
        charts=drawn,
        trials=trials[test_id],
        keys={trial.id: trial for trial in finished},
        afterthoughts=afterthoughts_of(session, test_id),
        outcomes={trial.id: outcome(test, trial) for trial in finished},
        held={trial.id: held(test, trial) for trial in finished},
        tasters=tasters,
        everybody=progress_of_tasters(test, tasters, trials[test_id], answers.read if read else ())
        if test.several_tasters
        else [],
        packets=None if refused_packing(test) else ready(session, test_id),
        joining=_joining(session, test),
        luck=LUCK,
        lately=queries.answered_lately(session, test_id, clock.now()),
        asked=questions_of(session, "blind_test", test_id),
        zone=clock.browser_zone(),
    )


def _joining(session: Session, test: BlindTest) -> MoreTasters | None:
    """The form that lets more people taste, where the plan is for several."""
    if not test.several_tasters or test.ended:
        return None
    form = MoreTasters()
    form.offer(dict(known_tasters(session)))
    return form


@pages.post("/<id:test_id>/tasters")
def join(test_id: int) -> Response:
    """More tasters for a test that was planned for several."""
    session = reading()
    form = MoreTasters(request.form)
    test_or_404(session, test_id)
    form.offer(dict(known_tasters(session)))
    sound = form.validate()
    if not sound or not form.count():
        errors = [*form.more_ids.errors, *form.more_names.errors]
        flash(" ".join(errors) or NOBODY, "error")
        return to_test(test_id)
    try:
        with step(test_id, to=url_for(".show", test_id=test_id)) as (session, test):
            named = (form.more_ids.data or (), form.more_names.names)
            ids = saving.existing_or_new_tasters(session, *named)
            joined = drawing.join(session, test, ids, clock.now())
    except drawing.Refused as why:
        flash(str(why), "error")
        return to_test(test_id)
    flash(f"{joined} more at the table." if joined else "They were at the table before.")
    return to_test(test_id)


@pages.post("/<id:test_id>/next")
def next_trial(test_id: int) -> Response:
    """Draw and seal the next trial, or go on with the one that is not finished."""
    test = end_if_settled(test_id)
    asked = number_or_none(request.form.get("taster_id"))
    tasters = [taster.taster_id for taster in queries.tasters_of(reading(), test_id)]
    taster_id = next((one for one in tasters if asked in (one, None)), None) or abort(404)
    warm_up = "warm_up" in request.form and not results_hidden(test)
    try:
        with step(test_id) as (session, test):
            now = clock.now()
            trial_id = drawing.draw_trial(session, test, taster_id, now, warm_up=warm_up)
            saved_at(session, url_for(".trial", trial_id=trial_id))
    except drawing.Refused as why:
        flash(str(why), "error")
        return to_test(test_id)
    return to_trial(trial_id)


@pages.post("/<id:test_id>/stop")
def stop(test_id: int) -> Response:
    test_or_404(reading(), test_id)
    form = ReasonForm(request.form)
    if not form.validate():
        flash("Please say why you stop.", "error")
        return to_test(test_id)
    with step(test_id, to=url_for(".show", test_id=test_id)) as (session, test):
        had_ended = test.ended is not None
        now, reason = clock.now(), form.reason.data or ""
        met = standing(test, answers_of(session, test, now)).ends
        how = met or "stopped"
        ended = saving.end(session, test_id, how, now, "" if met else reason)
    if had_ended:
        flash("The test had ended before.")
    elif not ended:
        flash(UNFINISHED, "error")
    else:
        flash(
            f"Its rule was met before: the test ends as {met}." if met else "The test is stopped."
        )
    return to_test(test_id)


@pages.post("/<id:test_id>/bin")
def bin(test_id: int) -> Response:
    with step(test_id) as (session, test):
        put_in_bin(test, clock.now())
        saving.void_guest_codes(session, test_id)
    flash(f"{test.title} is in the bin.")
    return to_test(test_id)


@pages.post("/<id:test_id>/restore")
def restore(test_id: int) -> Response:
    with step(test_id) as (_, test):
        take_from_bin(test)
    flash(f"{test.title} is back.")
    return to_test(test_id)
