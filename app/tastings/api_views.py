"""Tastings of a brew for scripts: logging one, and what was said so far."""

from collections.abc import Mapping
from datetime import datetime

from flask import Blueprint, url_for
from sqlalchemy import select
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.journal.brews import NamedBrew, named_brews
from app.journal.rows import row_as
from app.journal.tastings import TastingRow, add_tasting, after_brew, tasters, tastings_of_brews
from app.models import Brew, Tasting
from app.tastings.forms import TastingForm
from app.web.api import json_forms, moments, once
from app.web.api.operations import Body, operation
from app.web.api.problems import Fault, Refused
from app.web.api.shapes import Listed, answer
from app.web.bodies import takes_up_to
from app.web.saved_forms import AlreadySavedError, sent_key
from app.web.session import reading, saved_at, writing

pages = Blueprint("api_tastings", __name__, url_prefix="/api/v1/brews/<id:brew_id>/tastings")

NEW_TASTING = Body(
    "NewTasting",
    TastingForm,
    frozenset({"tasted_at"}),
    {"tasted_at": moments.MOMENT_SCHEMA, "zone": moments.ZONE_SCHEMA, "entry_key": once.KEY_SCHEMA},
)


@pages.get("")
@operation("may_read", "Tastings of a brew, first tasted first", Listed[TastingRow])
def index(brew_id: int) -> Response:
    session = reading()
    brew = _brew(session, brew_id)
    rows = tastings_of_brews(session, [brew.id]).get(brew.id, [])
    return answer(Listed([_told(row) for row in rows], None))


@pages.post("")
@takes_up_to(json_forms.MOST_BODY_BYTES)
@operation("may_log_tastings", "Log a tasting of a brew", TastingRow, takes=NEW_TASTING)
def create(brew_id: int) -> Response:
    sent = json_forms.read_object()
    if key := once.sent_before(sent):
        return _again(brew_id, key)
    form, zone, tasted_at = _checked(reading(), brew_id, sent)
    try:
        with writing() as session:
            row = add_tasting(session, form.entry(tasted_at), brew_id, zone, sent_key())
            to, change = url_for("brews.show", brew_id=brew_id), "tastings.edit"
            saved_at(session, to, url_for(change, tasting_id=row.id))
            tasting_id = row.id
    except AlreadySavedError:  # sent twice at the same time
        return _again(brew_id, once.saved_before() or "")
    return _answer(brew_id, tasting_id, 201)


def _checked(
    session: Session, brew_id: int, sent: Mapping[str, object]
) -> tuple[TastingForm, str, datetime]:
    brew = _brew(session, brew_id)
    form = json_forms.fill(TastingForm(), json_forms.field_names(NEW_TASTING), sent)
    form.taster_id.choices = tasters(session)
    faults = [*json_forms.unknown(NEW_TASTING, sent)]
    zone, tasted_at = "UTC", None
    try:
        zone = moments.read_zone(sent.get("zone"))
    except ValueError as error:
        faults.append(Fault("#/zone", str(error)))
    try:
        tasted_at = after_brew(moments.read_moment(sent.get("tasted_at")), brew.brewed_at)
    except ValueError as error:
        faults.append(Fault("#/tasted_at", str(error)))
    form.validate()
    faults += json_forms.faults_of(form, {})
    if faults or tasted_at is None:
        raise Refused(422, json_forms.WRONG_FIELDS, faults)
    return form, zone, tasted_at


def _brew(session: Session, brew_id: int) -> NamedBrew:
    brew = row_as(NamedBrew, session, named_brews().where(Brew.id == brew_id))
    if brew is None:
        raise Refused(404, "There is no such brew.")
    return brew


def _again(brew_id: int, key: str) -> Response:
    saved = reading().scalar(select(Tasting.id).where(Tasting.entry_key == key))
    return _answer(brew_id, saved or 0)


def _answer(brew_id: int, tasting_id: int, status: int = 200) -> Response:
    for row in tastings_of_brews(reading(), [brew_id]).get(brew_id, []):
        if row.id == tasting_id:
            return answer(_told(row), status)
    raise Refused(404, "The tasting is in the bin.")


def _told(row: TastingRow) -> TastingRow:
    return row._replace(tasted_at=moments.local(row.tasted_at, row.zone))
