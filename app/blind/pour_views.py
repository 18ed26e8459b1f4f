"""Pouring: a trial for everybody, claiming one or all, the serving cards, covering them again."""

from flask import flash, g, redirect, render_template, url_for
from werkzeug.wrappers import Response

from app.blind.at_the_table import serving, serving_card
from app.blind.browser import known_browser, remember, who
from app.blind.cups import cups_of
from app.blind.helper_views import pouring_state
from app.blind.pages import (
    Answer,
    end_if_settled,
    pages,
    step,
    test_or_404,
    to_test,
    to_trial,
    trial_or_404,
)
from app.journal.blind import drawing, saving, sealed
from app.journal.blind import open as queries
from app.web import clock
from app.web.session import reading

SERVED = "Covered. The taster’s page says that the cups are served."


@pages.get("/trials/<id:trial_id>/pour")
def pour(trial_id: int) -> Answer:
    """The serving card for the browser that claimed it; for any other, nothing of the key."""
    session = reading()
    test, row = trial_or_404(session, trial_id)
    if row.pouring == "solo":
        return to_trial(trial_id)
    key = sealed.keys_for_pourer(session, test.id, known_browser()).get(trial_id)
    finished = bool(row.served_at or row.voided_at)
    taken = row.poured_by is not None and key is None and not finished
    cups = cups_of(session, test)
    page = render_template(
        "blind/pour.html",
        test=test,
        # In a control every cup is A.
        cups={"A": cups["A"]} if key and key.is_control else cups,
        trial=row,
        serving_card=serving_card(test, row, key, cups) if key else None,
        taken=taken,
        finished=finished,
        serving=serving(),
    )
    return (page, 403) if taken else page


@pages.post("/trials/<id:trial_id>/claim")
def claim(trial_id: int) -> Response:
    """This browser pours the trial from now on; it gets a secret to know it by."""
    test, _ = trial_or_404(reading(), trial_id)
    with step(test.id, keyed=False) as (session, _):
        saving.claim(session, trial_id, who(), clock.now())
    return remember(redirect(url_for(".pour", trial_id=trial_id), 303))


@pages.post("/trials/<id:trial_id>/served")
def served(trial_id: int) -> Response:
    """Everything is poured: the key is covered until the answer."""
    test, row = trial_or_404(reading(), trial_id)
    with step(test.id, keyed=False) as (session, _):
        covered = saving.serve(session, trial_id, known_browser(), clock.now())
    if not covered and not row.served_at:
        flash("Only the person who pours this trial can say that it is served.", "error")
    if g.layout:  # a helper's device has no page but the one of all that waits
        return redirect(url_for(".pour_all", test_id=test.id), 303)
    solo = row.pouring == "solo"
    return redirect(url_for(".trial" if solo else ".pour", trial_id=trial_id), 303)


@pages.post("/<id:test_id>/deal")
def deal(test_id: int) -> Response:
    """A trial for every taster without an unfinished one; in a panel all orders at once."""
    end_if_settled(test_id)
    to = url_for(".pour_all", test_id=test_id)
    try:
        with step(test_id, to=to) as (session, test):
            drawing.deal(session, test, clock.now())
    except drawing.Refused as why:
        flash(str(why), "error")
        return to_test(test_id)
    return redirect(to, 303)


@pages.get("/<id:test_id>/pour")
def pour_all(test_id: int) -> str:
    """The serving cards of all trials that wait; the keys of those this browser claimed."""
    session = reading()
    test = test_or_404(session, test_id)
    waiting = queries.trials_to_pour(session, test_id)
    keys = sealed.keys_for_pourer(session, test_id, known_browser())
    cups = cups_of(session, test)
    return render_template(
        "blind/pour_all.html",
        test=test,
        cups=cups,
        waiting=waiting,
        cards=[
            (row, serving_card(test, row, keys[row.id], cups)) for row in waiting if row.id in keys
        ],
        free=[row for row in waiting if row.poured_by is None],
        state=pouring_state(waiting),
        serving=serving(),
    )


@pages.post("/<id:test_id>/claim")
def claim_all(test_id: int) -> Response:
    test_or_404(reading(), test_id)
    to = url_for(".pour_all", test_id=test_id)
    with step(test_id, to=to) as (session, _):
        saving.claim_all(session, test_id, who(), clock.now())
    return remember(redirect(to, 303))


@pages.post("/<id:test_id>/served")
def serve_all(test_id: int) -> Response:
    """Everything this browser claimed is poured: the keys are covered until the answers."""
    test_or_404(reading(), test_id)
    to = url_for(".pour_all" if g.layout else ".show", test_id=test_id)
    with step(test_id, to=to) as (session, _):
        saving.serve_all(session, test_id, known_browser(), clock.now())
    if g.layout:
        flash(SERVED)
    return redirect(to, 303)
