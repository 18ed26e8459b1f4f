"""A helper's own phone: its code beside a trial that waits, and what waiting pages watch."""

from datetime import datetime
from typing import NamedTuple

from flask import flash, g
from markupsafe import Markup
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.blind.pages import pages, test_or_404, to_trial, trial_or_404
from app.journal.blind import helpers
from app.journal.blind import open as queries
from app.journal.blind.open import OpenTrial
from app.web import clock, network, qr, shared_codes
from app.web.codes import pairing_addresses, tries, write_code
from app.web.helper_codes import helper_codes
from app.web.session import reading, writing

GONE = "No helper’s phone is let in any more, and the code does not work."


class Helper(NamedTuple):
    """What the page of a waiting trial says about a helper's own phone.

    `names` are the devices let in; `code` is None where none was drawn. `can_open` says whether
    this browser may open the journal to phones, which is needed first where `is_open` is not.
    """

    names: list[str]
    code: str | None
    drawing: Markup | None
    addresses: list[str]
    runs_out: datetime | None
    lasts_s: int
    is_open: bool
    can_open: bool
    opening_means: str = network.MEANS


def helper_of(session: Session, test_id: int) -> Helper:
    """For the household's pages only: a guest tastes, and gets no code."""
    names, now = list(helpers.helpers_of(session, test_id)), clock.now()
    addresses = pairing_addresses()
    can_open = bool(g.here and network.network())
    shown = None
    if addresses and helpers.takes_helpers(session, test_id):
        with shared_codes.held():
            known = helper_codes()
            shown = known.open_at(now).get(test_id) if names else known.shown(test_id, now)
    if shown is None:
        return Helper(names, None, None, addresses, None, 0, bool(addresses), can_open)
    drawing = qr.draw(f"{addresses[0]}?code={shown.code}")
    lasts_s = int((shown.runs_out - now).total_seconds()) + 1
    code = write_code(shown.code)
    return Helper(names, code, drawing, addresses, shown.runs_out, lasts_s, True, can_open)


@pages.post("/trials/<id:trial_id>/helper")
def new_helper_code(trial_id: int) -> Response:
    """Another code for who pours; the one before lets nobody in any more."""
    test, _ = trial_or_404(reading(), trial_id)
    with shared_codes.held():
        helper_codes().draw(test.id, clock.now())
        tries().reset()
    return to_trial(trial_id)


@pages.post("/trials/<id:trial_id>/helper/out")
def put_helpers_out(trial_id: int) -> Response:
    """Withdraw the code, and put out who came in by it."""
    test, _ = trial_or_404(reading(), trial_id)
    with shared_codes.held():
        helper_codes().cancel(test.id)
    with writing(keyed=False) as session:
        helpers.put_helpers_out(session, test.id, clock.now())
    flash(GONE)
    return to_trial(trial_id)


@pages.get("/trials/<id:trial_id>/state")
def trial_state(trial_id: int) -> Response:
    """What the taster's page watches: a word, and how many helpers were let in."""
    session = reading()
    _, row = trial_or_404(session, trial_id)
    return _plain(state_of(session, row))


@pages.get("/<id:test_id>/pour/state")
def pour_state(test_id: int) -> Response:
    """What the page of who pours watches."""
    session = reading()
    test_or_404(session, test_id)
    return _plain(pouring_state(queries.trials_to_pour(session, test_id)))


def state_of(session: Session, row: OpenTrial) -> str:
    """How far a trial is, as its page watches it: nothing of this depends on the key."""
    if row.voided_at:
        word = "void"
    elif row.answered_at:
        word = "answered"
    else:
        word = "served" if row.served_at else "poured" if row.poured_by else "drawn"
    # Guests learn of the cups only.
    return word if g.layout else f"{word} {len(helpers.helpers_of(session, row.test_id))}"


def pouring_state(waiting: list[OpenTrial]) -> str:
    """Which trials wait to be poured, and which of them somebody pours."""
    return "trials " + "-".join(f"{row.id}{'p' if row.poured_by else ''}" for row in waiting)


def _plain(text: str) -> Response:
    return Response(text, mimetype="text/plain")
