"""The blueprint that the views of blind tests share, and what several of them look up."""

from flask import Blueprint, abort, redirect, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.journal.blind import open as queries
from app.journal.blind import saving
from app.journal.blind.open import OpenTrial
from app.journal.blind.sealed import finished_trials
from app.journal.blind.standing import standing
from app.journal.blind.tasters import TasterProgress, progress_of_tasters
from app.journal.brews import NamedBrew, brew_in_words, named_brews
from app.journal.rows import rows_as
from app.models import BlindTest, Brew
from app.web import clock
from app.web.formats import formats
from app.web.session import reading, writing

pages = Blueprint("blind", __name__, url_prefix="/blind")

Answer = str | Response | tuple[str, int]

ENDED = "This test has ended: no more trials, so that what it says stays true."


def test_or_404(session: Session, test_id: int) -> BlindTest:
    return session.get(BlindTest, test_id) or abort(404)


def trial_or_404(session: Session, trial_id: int) -> tuple[BlindTest, OpenTrial]:
    """A trial without its key, and its test."""
    trial = queries.open_trial_row(session, trial_id) or abort(404)
    return session.get_one(BlindTest, trial.test_id), trial


def to_test(test_id: int) -> Response:
    return redirect(url_for(".show", test_id=test_id), 303)


def to_trial(trial_id: int) -> Response:
    return redirect(url_for(".trial", trial_id=trial_id), 303)


def taster_progress(session: Session, test: BlindTest) -> list[TasterProgress]:
    """How far each taster of a test is, without results."""
    trials = queries.trials_of(session, test.id)
    return progress_of_tasters(test, queries.tasters_of(session, test.id), trials, ())


def brews_in_words(session: Session, brew_ids: list[int]) -> dict[int, str]:
    """The brews by id, the newest first."""
    query = named_brews().where(Brew.id.in_(brew_ids))
    newest_first = query.order_by(Brew.brewed_at.desc(), Brew.id.desc())
    rows = rows_as(NamedBrew, session, newest_first) if brew_ids else []
    return {row.id: brew_in_words(row, formats()) for row in rows}


def end_if_settled(test_id: int) -> BlindTest:
    """The test, ended now if its rule is met: judged first, then one short transaction."""
    session = reading()
    test = test_or_404(session, test_id)
    ends = None if test.ended else standing(test, finished_trials(session, test)).ends
    if ends is None:
        return test
    with writing(keyed=False) as session:  # whatever form the request saves, it is none of this
        saving.end(session, test_id, ends, clock.now())
    return test_or_404(reading(), test_id)
