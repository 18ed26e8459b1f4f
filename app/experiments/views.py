"""Pages of experiments: the list, planning one, one with what it found."""

from secrets import SystemRandom

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from app.experiments import words
from app.experiments.plan_page import PlanPage
from app.journal.bags import open_bags, weighed_bags
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.experiments import saving
from app.journal.experiments.reading import experiment_row, experiments_page, factors_of
from app.models import Experiment
from app.sensory.scores.design import schedule
from app.web import clock
from app.web.fields import number_or_none
from app.web.saved_forms import sent_key
from app.web.session import reading, saved_at, writing

pages = Blueprint("experiments", __name__, url_prefix="/experiments")

Answer = str | Response | tuple[str, int]


@pages.get("/")
def index() -> str:
    session = reading()
    page = experiments_page(session, request.args)
    factors = factors_of(session, [row.id for row in page.rows])
    named = {row.id: words.named(factors.get(row.id, ())) for row in page.rows}
    return render_template(
        "experiments/index.html", page=page, named=named, zone=clock.browser_zone()
    )


@pages.get("/new")
def new() -> Answer:
    """For which bag; with `bag` the plan that is proposed for it."""
    return _plan(reading(), number_or_none(request.args.get("bag")), None)


@pages.post("/new")
def create() -> Answer:
    """Save the plan and draw its order; with `again` work it out anew, and save nothing."""
    session, bag_id = reading(), number_or_none(request.form.get("bag"))
    page = _page_of(session, bag_id, request.form)
    if not isinstance(page, PlanPage) or "again" in request.form or not page.can_be_saved:
        return _plan(session, bag_id, request.form), 422
    ahead = page.ahead or abort(404)
    plan, runs = page.plan(), schedule(ahead.design, SystemRandom())
    with writing() as session:
        row = saving.add_experiment(session, plan, runs, clock.now(), sent_key())
        experiment_id = row.id
        saved_at(session, url_for(".show", experiment_id=experiment_id))
    flash("The experiment is planned; its next brew waits on Today.")
    return _to(experiment_id)


def _page_of(
    session: Session, bag_id: int | None, sent: MultiDict[str, str] | None
) -> PlanPage | str:
    """The page of a plan, or what is missing for one: "bag", "brew" or "taster"."""
    bags = weighed_bags(session, [bag_id]) if bag_id else []
    if not bags:
        return "bag"
    try:
        return PlanPage(session, bags[0], sent)
    except LookupError as missing:
        return str(missing.args[0])


def _plan(session: Session, bag_id: int | None, sent: MultiDict[str, str] | None) -> str:
    page = _page_of(session, bag_id, sent)
    if not isinstance(page, PlanPage):
        bags = open_bags(session) if page == "bag" else []
        return render_template("experiments/choose.html", missing=page, bags=bags, bag_id=bag_id)
    return render_template(
        "experiments/plan.html",
        page=page,
        ahead=page.ahead,
        sent=sent is not None,
        order=words.ORDER,
        not_said=words.NOT_SAID_BEFOREHAND,
    )


@pages.get("/<id:experiment_id>")
def show(experiment_id: int) -> str:
    from app.experiments.show_page import show_page

    session = reading()
    return show_page(session, experiment_row(session, experiment_id) or abort(404))


@pages.post("/<id:experiment_id>/end")
def end(experiment_id: int) -> Response:
    with writing(to=url_for(".show", experiment_id=experiment_id)) as session:
        saving.end(session, _or_404(session, experiment_id), clock.now())
    flash("The experiment is closed; what was brewed counts.")
    return _to(experiment_id)


@pages.post("/<id:experiment_id>/take-up")
def take_up(experiment_id: int) -> Response:
    with writing(to=url_for(".show", experiment_id=experiment_id)) as session:
        saving.take_up(session, _or_404(session, experiment_id))
    return _to(experiment_id)


@pages.post("/<id:experiment_id>/bin")
def bin(experiment_id: int) -> Response:
    with writing() as session:
        put_in_bin(_or_404(session, experiment_id), clock.now())
    flash("The experiment is in the bin; its brews and tastings stay.")
    return _to(experiment_id)


@pages.post("/<id:experiment_id>/restore")
def restore(experiment_id: int) -> Response:
    with writing() as session:
        take_from_bin(_or_404(session, experiment_id))
    flash("The experiment is back.")
    return _to(experiment_id)


@pages.post("/runs/<id:run_id>/skip")
def skip(run_id: int) -> Response:
    try:
        with writing() as session:
            experiment_id = saving.skip(session, run_id, clock.now()) or abort(404)
    except ValueError as scored:
        flash(str(scored), "error")
        return _to(saving.experiment_of(reading(), run_id) or abort(404))
    flash("That brew is left out; the others still count.")
    return _to(experiment_id)


@pages.post("/runs/<id:run_id>/take-up")
def take_up_run(run_id: int) -> Response:
    with writing() as session:
        experiment_id = saving.take_up_run(session, run_id) or abort(404)
    return _to(experiment_id)


@pages.get("/runs/<id:run_id>")
def run(run_id: int) -> Response:
    """The experiment of a run, where its brew leads."""
    return _to(saving.experiment_of(reading(), run_id) or abort(404))


def _or_404(session: Session, experiment_id: int) -> Experiment:
    return session.get(Experiment, experiment_id) or abort(404)


def _to(experiment_id: int) -> Response:
    return redirect(url_for("experiments.show", experiment_id=experiment_id), 303)
