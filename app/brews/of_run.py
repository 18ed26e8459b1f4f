"""Brewing for a run of an experiment: the form as it was drawn, and the way back."""

from collections.abc import Mapping

from flask import flash, redirect, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.brews.filling import FormValues, PickLists, from_recipe, same_again
from app.brews.queries import brew_to_change
from app.journal.experiments.reading import RunToBrew, run_to_brew
from app.journal.experiments.saving import brewed
from app.journal.experiments.settings import as_stored
from app.journal.recipes import revision
from app.web.fields import number_or_none

BREWED = "That brew of the experiment is made already, or the experiment is closed."


def start(
    session: Session, lists: PickLists, args: Mapping[str, str]
) -> FormValues | Response | None:
    """What a brew for the run named in the address starts from; None where it names none."""
    run_id = number_or_none(args.get("run"))
    if not run_id:
        return None
    run = run_to_brew(session, run_id)
    if run is None:
        flash(BREWED)
        return to_experiment(run_id)
    return _filled(session, run, lists)


def _filled(session: Session, run: RunToBrew, lists: PickLists) -> FormValues:
    values = same_again(brew_to_change(session, run.like_id), lists.hand, lists.packs)
    wanted = revision(session, run.revision_id) if run.revision_id else None
    values = from_recipe(wanted, values) if wanted else values
    # What was drawn is not asked about as unusual.
    asked = " ".join(run.settings)
    return (
        values
        | {"bag_id": run.bag_id, "run": str(run.id), "asked": asked}
        | as_stored(run.settings)
    )


def note(session: Session, run_id: int, brew_id: int) -> list[str]:
    """Note the brew of a run; why it could not be, in a sentence."""
    return [why] if (why := brewed(session, run_id, brew_id)) else []


def to_experiment(run_id: int) -> Response:
    return redirect(url_for("experiments.run", run_id=run_id), 303)
