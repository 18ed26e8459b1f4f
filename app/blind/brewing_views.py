"""A finished trial's brews: the card on its page, and tying or untying one that is logged."""

from __future__ import annotations

from typing import Any

from flask import flash, request
from sqlalchemy.exc import IntegrityError
from werkzeug.wrappers import Response

from app.blind.pages import pages, to_trial, trial_or_404
from app.journal.blind import poured_from as brewing
from app.journal.blind import tying
from app.journal.brews import brew_rows
from app.journal.words import brew_in_words
from app.sensory.terms import letter_or_none
from app.web import clock
from app.web.fields import number_or_none
from app.web.formats import formats
from app.web.session import reading, writing

NONE_SAME = "There is no other trial from the same pair with brews to take over."


@pages.post("/trials/<id:trial_id>/brews")
def tie_brew(trial_id: int) -> Response:
    """Tie a brew that was logged already."""
    trial_or_404(reading(), trial_id)
    brew_id = number_or_none(request.form.get("brew_id")) or 0
    try:
        with writing() as session:
            refused = tying.tie(session, trial_id, letter_or_none(request.form.get("cup")), brew_id)
    except IntegrityError:  # tied a moment ago by a second tap
        refused = None
    return _back(trial_id, refused)


@pages.post("/trials/<id:trial_id>/brews/same")
def tie_same_brews(trial_id: int) -> Response:
    """Tie the brews that another trial of the sitting was poured from."""
    trial_or_404(reading(), trial_id)
    try:
        with writing() as session:
            found = tying.tie_same(session, trial_id)
    except IntegrityError:
        found = True
    return _back(trial_id, None if found else NONE_SAME)


@pages.post("/trials/<id:trial_id>/brews/<id:brew_id>/untie")
def untie_brew(trial_id: int, brew_id: int) -> Response:
    trial_or_404(reading(), trial_id)
    with writing() as session:
        tying.untie(session, trial_id, brew_id)
    return _back(trial_id, None)


def _back(trial_id: int, refused: str | None) -> Response:
    if refused:
        flash(refused, "error")
    return to_trial(trial_id)


def brews_card(trial_id: int) -> dict[str, Any] | None:
    """What the card shows: brews with their cups, what is missing, and ways to fill it."""
    session = reading()
    brews = brewing.brews_of_trial(session, trial_id)
    if brews is None:
        return None
    offered = brewing.nearby(session, brews) if brews.missing else []
    ids = [*brews.brew_ids, *offered]
    rows = session.execute(brew_rows(), {"brew_ids": ids}).all() if ids else []
    names = {row.id: brew_in_words(row, formats()) for row in rows}
    like = brewing.brewed_like(session, brews.test) if brews.missing else {}
    return {
        "named": brews.named,
        "ties": brews.ties,
        "names": names,
        "missing": brews.missing,
        "offered": offered,
        "log": {cup: _start(brews, cup, like.get(cup)) for cup in brews.missing},
        "same": brewing.same_as(session, brews),
    }


def _start(brews: brewing.TrialBrews, cup: str, like: int | None) -> dict[str, Any]:
    """What the brew form starts from, as it stands in its address."""
    served = clock.wall_time(brews.trial.served_at, clock.browser_zone())
    plan = {
        "trial_id": brews.trial.id,
        "cup": cup,
        "brewed_at": f"{served:%Y-%m-%dT%H:%M}",
        "like": like,
        "recipe": getattr(brews.test, f"{cup.lower()}_revision_id"),
        "filter_1": getattr(brews.test, f"{cup.lower()}_filter_id"),
    }
    return {name: value for name, value in plan.items() if value is not None}
