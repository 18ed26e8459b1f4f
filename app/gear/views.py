"""Brewers, grinders and waters: one page of all three, and a page and a form for each."""

from flask import Blueprint, abort, render_template, request
from werkzeug.wrappers import Response

from app.gear import shared
from app.gear.forms import BrewerForm, GrinderForm, WaterForm
from app.gear.queries import MOST_COUNTED, latest_settings, listed
from app.gear.words import KINDS
from app.journal.estimates import learned
from app.journal.gear import grinder_names, latest_brews
from app.journal.learned import offsets_of, retention_of
from app.models import Brew, Brewer, Grinder, Water
from app.web import clock
from app.web.session import reading

pages = Blueprint("gear", __name__, url_prefix="/gear")


@pages.get("")
def index() -> str:
    session = reading()
    return render_template(
        "gear/index.html",
        brewers=listed(session, Brewer, Brew.brewer_id),
        grinders=listed(session, Grinder, Brew.grinder_id),
        waters=listed(session, Water, Brew.water_id),
        most_counted=MOST_COUNTED,
        today=clock.today(),
    )


@pages.route("/brewers/new", methods=["GET", "POST"])
def new_brewer() -> shared.Answer:
    return shared.new(Brewer, "brewer", BrewerForm(request.form))


@pages.get("/brewers/<id:brewer_id>")
def show_brewer(brewer_id: int) -> str:
    session = reading()
    brewer = session.get(Brewer, brewer_id) or abort(404)
    known = learned(session)
    offsets = offsets_of(brewer_id, known)
    return render_template(
        "gear/show_brewer.html",
        gear=brewer,
        about=KINDS[brewer.kind],
        held=retention_of(brewer_id, brewer.kind, known),
        offsets=offsets,
        grinders=grinder_names(session, [offset.grinder_id for offset in offsets]),
        brews=latest_brews(session, Brew.brewer_id, brewer_id),
    )


@pages.route("/brewers/<id:brewer_id>/edit", methods=["GET", "POST"])
def edit_brewer(brewer_id: int) -> shared.Answer:
    return shared.edit(Brewer, brewer_id, "brewer", BrewerForm)


@pages.post("/brewers/<id:brewer_id>/bin")
def bin_brewer(brewer_id: int) -> Response:
    return shared.move_to_bin(Brewer, brewer_id, "brewer")


@pages.post("/brewers/<id:brewer_id>/restore")
def restore_brewer(brewer_id: int) -> Response:
    return shared.restore(Brewer, brewer_id, "brewer")


@pages.route("/grinders/new", methods=["GET", "POST"])
def new_grinder() -> shared.Answer:
    return shared.new(Grinder, "grinder", GrinderForm(request.form))


@pages.get("/grinders/<id:grinder_id>")
def show_grinder(grinder_id: int) -> str:
    session = reading()
    grinder = session.get(Grinder, grinder_id) or abort(404)
    settings = latest_settings(session, grinder_id)
    return render_template("gear/show_grinder.html", gear=grinder, settings=settings)


@pages.route("/grinders/<id:grinder_id>/edit", methods=["GET", "POST"])
def edit_grinder(grinder_id: int) -> shared.Answer:
    return shared.edit(Grinder, grinder_id, "grinder", GrinderForm)


@pages.post("/grinders/<id:grinder_id>/bin")
def bin_grinder(grinder_id: int) -> Response:
    return shared.move_to_bin(Grinder, grinder_id, "grinder")


@pages.post("/grinders/<id:grinder_id>/restore")
def restore_grinder(grinder_id: int) -> Response:
    return shared.restore(Grinder, grinder_id, "grinder")


@pages.route("/waters/new", methods=["GET", "POST"])
def new_water() -> shared.Answer:
    return shared.new(Water, "water", WaterForm(request.form))


@pages.get("/waters/<id:water_id>")
def show_water(water_id: int) -> str:
    session = reading()
    water = session.get(Water, water_id) or abort(404)
    brews = latest_brews(session, Brew.water_id, water_id)
    return render_template("gear/show_water.html", gear=water, brews=brews)


@pages.route("/waters/<id:water_id>/edit", methods=["GET", "POST"])
def edit_water(water_id: int) -> shared.Answer:
    return shared.edit(Water, water_id, "water", WaterForm)


@pages.post("/waters/<id:water_id>/bin")
def bin_water(water_id: int) -> Response:
    return shared.move_to_bin(Water, water_id, "water")


@pages.post("/waters/<id:water_id>/restore")
def restore_water(water_id: int) -> Response:
    return shared.restore(Water, water_id, "water")
