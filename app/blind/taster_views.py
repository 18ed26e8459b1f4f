"""A test with several tasters: adding tasters, a trial for everybody, and pouring all of them."""

from __future__ import annotations

from contextlib import suppress

from flask import flash, redirect, render_template, request, url_for
from sqlalchemy.exc import IntegrityError
from werkzeug.wrappers import Response

from app.blind.browser import known_browser, remember, this_browser
from app.blind.pages import (
    ENDED,
    end_if_settled,
    pages,
    taster_progress,
    test_or_404,
    to_test,
)
from app.blind.tasters import MoreTasters
from app.blind.words import serving, serving_card
from app.journal.blind import open as queries
from app.journal.blind import saving, sealed
from app.journal.blind.plan import refused_pouring
from app.journal.blind.tasters import MISSING, TasterProgress, refused_join
from app.journal.tastings import tasters as known_tasters
from app.models import BlindTest
from app.web import clock
from app.web.session import reading, writing

DEALT = "The orders of this panel are dealt. A taster whose trial is void can have a new one."
NOBODY = "Name at least one taster."


@pages.post("/<id:test_id>/tasters")
def join(test_id: int) -> Response:
    """More tasters for a test that was planned for several."""
    session = reading()
    test, form = test_or_404(session, test_id), MoreTasters(request.form)
    form.offer(dict(known_tasters(session)))
    everybody = taster_progress(session, test)
    if not form.validate():
        why: str | None = " ".join([*form.more_ids.errors, *form.more_names.errors])
    elif test.ended:
        why = ENDED
    else:
        why = refused_join(test, everybody, form.count()) or (None if form.count() else NOBODY)
    if why:
        flash(why, "error")
        return to_test(test_id)
    with writing() as session:
        ids = saving.existing_or_new_tasters(
            session, form.more_ids.data or (), form.more_names.names
        )
        joined = saving.add_tasters(session, test_id, ids, clock.now())
    flash(f"{joined} more at the table." if joined else "They were at the table before.")
    return to_test(test_id)


@pages.post("/<id:test_id>/deal")
def deal(test_id: int) -> Response:
    """A trial for every taster without an unfinished one; in a panel all orders at once."""
    test = end_if_settled(test_id)
    everybody = taster_progress(reading(), test)
    why = _refused_deal(test, everybody)
    if why:
        flash(why, "error")
        return to_test(test_id)
    with suppress(IntegrityError), writing() as session:  # drawn a moment ago by a second tap
        tasters = [taster.taster_id for taster in everybody]
        if test.balanced:
            saving.deal(session, test, tasters, clock.now())
        else:
            for taster_id in tasters:
                saving.draw_trial(session, test, taster_id, clock.now())
    return redirect(url_for(".pour_all", test_id=test_id), 303)


def _refused_deal(test: BlindTest, everybody: list[TasterProgress]) -> str | None:
    if test.ended or test.binned_at:
        return ENDED
    if test.balanced and any(taster.drawn for taster in everybody):
        return DEALT
    if test.balanced and len(everybody) != test.fixed_trials:
        return MISSING.format(len(everybody), test.fixed_trials)
    return refused_pouring(test, test.pouring)


@pages.get("/<id:test_id>/pour")
def pour_all(test_id: int) -> str:
    """The serving cards of all trials that wait; the keys of those this browser claimed."""
    session = reading()
    test = test_or_404(session, test_id)
    waiting = [
        row
        for row in reversed(queries.trials_of(session, test_id))
        if not (row.served_at or row.voided_at or row.pouring == "solo")
    ]
    keys = sealed.keys_for_pourer(session, test_id, known_browser())
    return render_template(
        "blind/pour_all.html",
        test=test,
        waiting=waiting,
        cards=[(row, serving_card(test, row, keys[row.id])) for row in waiting if row.id in keys],
        free=[row for row in waiting if row.poured_by is None],
        serving=serving(),
    )


@pages.post("/<id:test_id>/claim")
def claim_all(test_id: int) -> Response:
    test_or_404(reading(), test_id)
    browser = this_browser()
    with writing() as session:
        saving.claim_all(session, test_id, browser, clock.now())
    return remember(redirect(url_for(".pour_all", test_id=test_id), 303))


@pages.post("/<id:test_id>/served")
def serve_all(test_id: int) -> Response:
    test_or_404(reading(), test_id)
    with writing() as session:
        saving.serve_all(session, test_id, known_browser(), clock.now())
    return to_test(test_id)
