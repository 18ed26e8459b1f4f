"""Brews for scripts: logging one, reading one, the searched list."""

from collections.abc import Mapping
from datetime import datetime

from flask import Blueprint, url_for
from sqlalchemy import select
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.brews.api_answers import BrewAnswer, brew_answers
from app.brews.api_stack import POINTERS, STACK_SCHEMA, fill_stack
from app.brews.checking import check
from app.brews.forms import BrewForm, SearchForm
from app.brews.search import search_page
from app.journal.paging import read_mark
from app.journal.saving_brews import add_brew
from app.models import Brew
from app.web.api import json_forms, moments, once
from app.web.api.operations import Body, operation
from app.web.api.problems import Fault, Refused
from app.web.api.queries import PagedQuery, no_cursor, read_query
from app.web.api.shapes import Listed, answer
from app.web.bodies import takes_up_to
from app.web.saved_forms import AlreadySavedError, sent_key
from app.web.session import reading, saved_at, writing

pages = Blueprint("api_brews", __name__, url_prefix="/api/v1/brews")

# What is of the page alone, or said otherwise here.
NOT_HERE = {"trial_id", "cup", "line", "run", "asked", "photo", "photo_alt", *POINTERS}
NEW_BREW = Body(
    "NewBrew",
    BrewForm,
    frozenset({"brewed_at", *NOT_HERE}),
    {
        "brewed_at": moments.MOMENT_SCHEMA,
        "zone": moments.ZONE_SCHEMA,
        "filters": STACK_SCHEMA,
        "entry_key": once.KEY_SCHEMA,
    },
)


class BrewsQuery(SearchForm, PagedQuery):
    """Newest first."""


@pages.get("")
@operation("may_read", "Brews, newest first", Listed[BrewAnswer], query=BrewsQuery)
def index() -> Response:
    query, session = read_query(BrewsQuery), reading()
    cursor = query.cursor.data or ""
    if cursor and read_mark(cursor) is None:
        raise no_cursor()
    page = search_page(session, query, {"before": cursor}, query.most)
    answers = brew_answers(session, [row.id for row in page.rows])
    return answer(Listed(answers, page.older))


@pages.get("/<id:brew_id>")
@operation("may_read", "One brew", BrewAnswer)
def show(brew_id: int) -> Response:
    return _answer(reading(), brew_id)


@pages.post("")
@takes_up_to(json_forms.MOST_BODY_BYTES)
@operation("may_log_brews", "Log a brew", BrewAnswer, takes=NEW_BREW)
def create() -> Response:
    sent = json_forms.read_object()
    if key := once.sent_before(sent):
        return _again(key)
    form, zone, brewed_at = _checked(reading(), sent)
    try:
        with writing() as session:
            brew = add_brew(session, form.entry(brewed_at), zone, sent_key())
            saved_at(session, url_for("brews.show", brew_id=brew.id))
            brew_id = brew.id
    except AlreadySavedError:  # sent twice at the same time
        return _again(once.saved_before() or "")
    except ValueError as error:
        raise Refused(422, json_forms.WRONG_FIELDS, [Fault("#/filters", str(error))]) from None
    return _answer(reading(), brew_id, 201)


def _checked(session: Session, sent: Mapping[str, object]) -> tuple[BrewForm, str, datetime]:
    form = json_forms.fill(BrewForm(), json_forms.field_names(NEW_BREW), sent)
    faults = [*json_forms.unknown(NEW_BREW, sent)]
    if "filters" in sent:
        faults += fill_stack(form, sent["filters"])
    zone, brewed_at = "UTC", None
    try:
        zone = moments.read_zone(sent.get("zone"))
    except ValueError as error:
        faults.append(Fault("#/zone", str(error)))
    try:
        brewed_at = moments.read_moment(sent.get("brewed_at"))
    except ValueError as error:
        faults.append(Fault("#/brewed_at", str(error)))
    check(session, form, zone)
    faults += json_forms.faults_of(form, POINTERS)
    if faults or brewed_at is None:
        raise Refused(422, json_forms.WRONG_FIELDS, faults)
    return form, zone, brewed_at


def _again(key: str) -> Response:
    """What was saved with this key, as it stands now."""
    session = reading()
    return _answer(session, session.scalar(select(Brew.id).where(Brew.entry_key == key)) or 0)


def _answer(session: Session, brew_id: int, status: int = 200) -> Response:
    for brew in brew_answers(session, [brew_id]):
        where = {"Location": url_for(".show", brew_id=brew_id)} if status == 201 else {}
        return answer(brew, status, where)
    raise Refused(404, "There is no such brew.")
