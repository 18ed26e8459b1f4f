"""Pouring: claiming a trial, the serving card with its key, and covering it again."""

from __future__ import annotations

from flask import flash, redirect, render_template, url_for
from werkzeug.wrappers import Response

from app.blind.browser import known_browser, remember, this_browser
from app.blind.pages import pages, to_trial, trial_or_404
from app.blind.words import serving, serving_card
from app.journal.blind import saving, sealed
from app.web import clock
from app.web.session import reading, writing

Answer = str | Response | tuple[str, int]


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
    page = render_template(
        "blind/pour.html",
        test=test,
        trial=row,
        serving_card=serving_card(test, row, key) if key else None,
        taken=taken,
        finished=finished,
        serving=serving(),
    )
    return (page, 403) if taken else page


@pages.post("/trials/<id:trial_id>/claim")
def claim(trial_id: int) -> Response:
    """This browser pours the trial from now on; it gets a secret to know it by."""
    trial_or_404(reading(), trial_id)
    browser = this_browser()
    with writing() as session:
        saving.claim(session, trial_id, browser, clock.now())
    return remember(redirect(url_for(".pour", trial_id=trial_id), 303))


@pages.post("/trials/<id:trial_id>/served")
def served(trial_id: int) -> Response:
    """Everything is poured: the key is covered until the answer."""
    _, row = trial_or_404(reading(), trial_id)
    with writing() as session:
        covered = saving.serve(session, trial_id, known_browser(), clock.now())
    if not covered and not row.served_at:
        flash("Only the person who pours this trial can say that it is served.", "error")
    solo = row.pouring == "solo"
    return redirect(url_for(".trial" if solo else ".pour", trial_id=trial_id), 303)
