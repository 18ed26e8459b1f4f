"""The blueprint that the views of blind tests share, and what several of them look up."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress

from flask import Blueprint, abort, current_app, redirect, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.journal import told
from app.journal.blind import open as queries
from app.journal.blind import saving
from app.journal.blind.answers import answers_of
from app.journal.blind.drawing import locked
from app.journal.blind.open import OpenTrial
from app.journal.blind.put_back import TakenSteps, mark_put_back, steps_of
from app.journal.blind.standing import standing
from app.journal.brews import NamedBrew, named_brews
from app.journal.rows import rows_as
from app.models import BlindTest, Brew
from app.seals import seals_of
from app.web import clock
from app.web.formats import formats
from app.web.session import reading, writing

pages = Blueprint("blind", __name__, url_prefix="/blind")

Answer = str | Response | tuple[str, int]


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


def brews_in_words(session: Session, brew_ids: list[int]) -> dict[int, str]:
    """The brews by id, the newest first."""
    query = named_brews().where(Brew.id.in_(brew_ids))
    newest_first = query.order_by(Brew.brewed_at.desc(), Brew.id.desc())
    rows = rows_as(NamedBrew, session, newest_first) if brew_ids else []
    return dict(told.brews_in_words(session, rows, formats()))


@contextmanager
def step(test_id: int, *, to: str = "", keyed: bool = True) -> Iterator[tuple[Session, BlindTest]]:
    """A transaction for a step of a test, alone with that test.

    Before the step the journal is compared with what is remembered beside it (`app.seals`), and
    marks that are overdue are lost; the step is remembered there once it is on disk.
    """
    seals = seals_of(current_app.config["JOURNAL"])
    with writing(to=to, keyed=keyed) as session:
        test = locked(session, test_id) or abort(404)
        mark_put_back(session, seals, clock.now(), test_id)
        saving.lose_overdue_marks(session, test_id, clock.now())
        yield session, test
        (taken,) = steps_of(session, test_id)
    note_steps(taken)


def note_steps(taken: TakenSteps) -> None:
    """Remember beside the journal how far a test is, once that is on disk."""
    with suppress(OSError):  # the step itself is saved
        seals_of(current_app.config["JOURNAL"]).note_steps(taken.key, taken.steps)


def end_if_settled(test_id: int) -> BlindTest:
    """The test, ended now if its rule is met: judged first, then one short transaction."""
    session, now = reading(), clock.now()
    test = test_or_404(session, test_id)
    ends = None if test.ended else standing(test, answers_of(session, test, now)).ends
    if ends is None or queries.open_trial(session, test_id, now):
        return test
    # Whatever form the request saves, it is none of this.
    with step(test_id, keyed=False) as (session, test):
        ends = standing(test, answers_of(session, test, now)).ends
        if ends:
            saving.end(session, test_id, ends, clock.now())
    return test_or_404(reading(), test_id)
