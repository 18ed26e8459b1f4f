"""Blind tests as scripts read them: plan and trials, and of keys only what was shown already."""

from dataclasses import dataclass
from datetime import datetime

from flask import Blueprint
from sqlalchemy import select
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.journal.blind.open import OpenTrial, tests_page, trials_of
from app.journal.blind.poured_from import SeenKey, keys_that_were_seen
from app.journal.paging import read_mark
from app.models import BlindTest
from app.web.api.operations import operation
from app.web.api.problems import Refused
from app.web.api.queries import PagedQuery, no_cursor, read_query
from app.web.api.shapes import Listed, answer
from app.web.session import reading

pages = Blueprint("api_tests", __name__, url_prefix="/api/v1/tests")


@dataclass(frozen=True, slots=True)
class KeyAnswer:
    """What a trial was poured from: `cups` by place from the left, such as ABA, or poured solo by
    the mark under each; in a control every cup came from A. `lifted` is the mark that was read
    under the cup asked for."""

    cups: str
    is_control: bool
    brewed_first: str | None
    lifted: str | None


@dataclass(frozen=True, slots=True)
class TrialAnswer:
    """A trial. `key` is null until it was shown to who tasted, and in a test that hides its results
    until that has ended. `answer` is a place from 1, or 0 for no preference."""

    id: int
    number: int
    taster_id: int
    taster_name: str
    pouring: str
    warm_up: bool
    codes: list[str]
    drawn_at: datetime
    served_at: datetime | None
    answered_at: datetime | None
    answer: int | None
    sure: bool | None
    note: str
    voided_at: datetime | None
    void_reason: str
    key: KeyAnswer | None


@dataclass(frozen=True, slots=True)
class PlanAnswer:
    """A blind test as it was planned, and how it ended, if it has."""

    id: int
    title: str
    made_at: datetime
    a_words: str
    b_words: str
    claim: str
    brewing: str
    method: str
    attribute: str
    pouring: str
    rule: str
    p_d: float
    fixed_trials: int | None
    alpha: float | None
    beta: float | None
    ended: str | None
    stopped_at: datetime | None
    stopped_why: str
    note: str


@dataclass(frozen=True, slots=True)
class BlindTestAnswer:
    """A blind test with all of its trials, the newest first."""

    plan: PlanAnswer
    trials: list[TrialAnswer]


@pages.get("")
@operation("may_read_tests", "Blind tests, the newest first", Listed[PlanAnswer], query=PagedQuery)
def index() -> Response:
    query = read_query(PagedQuery)
    cursor = query.cursor.data or ""
    if cursor and read_mark(cursor) is None:
        raise no_cursor()
    page = tests_page(reading(), cursor, query.most)
    return answer(Listed([_plan(test) for test in page.rows], page.older))


@pages.get("/<id:test_id>")
@operation("may_read_tests", "A blind test with its trials", BlindTestAnswer)
def show(test_id: int) -> Response:
    session = reading()
    test = session.scalar(select(BlindTest).where(BlindTest.id == test_id))
    if test is None:
        raise Refused(404, "There is no such blind test.")
    return answer(BlindTestAnswer(_plan(test), _trials(session, test_id)))


def _plan(test: BlindTest) -> PlanAnswer:
    return PlanAnswer(*(getattr(test, name) for name in PlanAnswer.__slots__))


def _trials(session: Session, test_id: int) -> list[TrialAnswer]:
    keys = keys_that_were_seen(session, test_id)
    return [_trial(trial, keys.get(trial.id)) for trial in trials_of(session, test_id)]


def _trial(trial: OpenTrial, key: SeenKey | None) -> TrialAnswer:
    return TrialAnswer(
        id=trial.id,
        number=trial.number,
        taster_id=trial.taster_id,
        taster_name=trial.taster_name,
        pouring=trial.pouring,
        warm_up=trial.warm_up,
        codes=trial.codes.split(),
        drawn_at=trial.drawn_at,
        served_at=trial.served_at,
        answered_at=trial.answered_at,
        answer=trial.answer,
        sure=trial.sure,
        note=trial.note,
        voided_at=trial.voided_at,
        void_reason=trial.void_reason,
        key=key and KeyAnswer(key.cups, key.is_control, key.brewed_first, key.lifted),
    )
