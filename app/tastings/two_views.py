"""Tasting two cups on one page, then back to the two side by side."""

from datetime import datetime

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.journal.brews import NamedBrew, named_brews
from app.journal.rows import rows_as
from app.journal.sittings.reading import sitting_with_brews
from app.journal.tastings import add_tasting, likely_taster, tasters, tastings_of_brews
from app.models import Brew
from app.sensory.scores.scales import JUST_RIGHT_DEFINITIONS
from app.sensory.terms import Letter
from app.tastings.after import After, AgainForm, asked_after
from app.tastings.forms import SCALES, TastingForm
from app.tastings.two import TwoTastings
from app.web import clock
from app.web.saved_forms import sent_key
from app.web.session import reading, saved_at, writing

pages = Blueprint("two_tastings", __name__, url_prefix="/taste")

Answer = str | Response | tuple[str, int]
Brews = dict[Letter, NamedBrew]

PAIR = "/<id:brew_a>/<id:brew_b>"


@pages.get(PAIR)
def new(brew_a: int, brew_b: int) -> str:
    session = reading()
    brews = _brews(session, brew_a, brew_b)
    if after := asked_after(session, [brew_a, brew_b]):
        return _page(session, TwoTastings(taster_id=after.taster_id, of=AgainForm), brews, after)
    earlier = tastings_of_brews(session, [brew_a, brew_b])
    both = [row.taster_id for row in earlier.get(brew_a, [])]
    done = {row.taster_id for row in earlier.get(brew_b, [])}.intersection(both)
    return _page(session, TwoTastings(taster_id=likely_taster(session, done)), brews, None)


@pages.post(PAIR)
def create(brew_a: int, brew_b: int) -> Answer:
    session, zone = reading(), clock.browser_zone()
    brews, after = _brews(session, brew_a, brew_b), asked_after(session, [brew_a, brew_b])
    form = TwoTastings(request.form, of=AgainForm if after else TastingForm)
    form.pick_taster_from(tasters(session))
    said = form.validated()
    tasted_at = _moment(form, brews, zone)
    if not said or tasted_at is None:
        return _page(session, form, brews, after), 422
    sitting_id = sitting_with_brews(session, [brew_a, brew_b])
    to = url_for("side_by_side.show", brew_a=brew_a, brew_b=brew_b)
    if sitting_id:
        to = url_for("sittings.show", sitting_id=sitting_id)
    if after:
        to = url_for("blind.trial", trial_id=after.trial_id)
    with writing(to=to) as session:
        rows = [
            add_tasting(
                session, form.cups[letter].entry(tasted_at, after and after.trial_id),
                brews[letter].id, zone,
                sent_key() if letter == said[0] else "",
            )
            for letter in said
        ]  # fmt: skip
        saved_at(session, to, url_for("tastings.edit", tasting_id=rows[0].id))
    flash("Both tastings saved." if len(said) > 1 else f"The tasting of cup {said[0]} is saved.")
    return redirect(to, 303)


def _moment(form: TwoTastings, brews: Brews, zone: str) -> datetime | None:
    """When they were tasted; None, with a message beside the field, where that cannot be."""
    field = form.a.tasted_at
    if field.data is None:
        return None if field.errors else clock.now()
    try:
        moment = clock.from_wall(field.data, zone)
        if any(moment < brew.brewed_at.replace(second=0, microsecond=0) for brew in brews.values()):
            raise ValueError("This is before both brews were made.")
    except ValueError as error:
        field.errors = [*field.errors, str(error)]
        return None
    return moment


def _brews(session: Session, brew_a: int, brew_b: int) -> Brews:
    found = {
        row.id: row
        for row in rows_as(NamedBrew, session, named_brews().where(Brew.id.in_((brew_a, brew_b))))
    }
    if brew_a == brew_b or len(found) < 2:
        abort(404)
    return {"A": found[brew_a], "B": found[brew_b]}


def _page(session: Session, form: TwoTastings, brews: Brews, after: After | None) -> str:
    known = tasters(session)
    form.pick_taster_from(known)
    return render_template(
        "tastings/two.html",
        form=form,
        brews=brews,
        after=after,
        scales=SCALES,
        definitions=JUST_RIGHT_DEFINITIONS,
        taster=dict(known).get(form.a.taster_id.data, ""),
    )
