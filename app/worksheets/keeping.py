"""Keeping a worksheet's answer as a recipe, or as a revision of the one it started from."""

from flask import abort, request, url_for
from wtforms import Form, HiddenField

from app.journal.history import Thing, version_of
from app.journal.recipes import revision
from app.journal.revising import Draft, revise
from app.models.base import NAME_CHARS
from app.web import clock
from app.web.changing import noting
from app.web.fields import LineField
from app.web.recipe_form import filled
from app.web.session import writing
from app.worksheets import queries

CHANGED = (
    "The recipe was changed after this worksheet was opened, so nothing was saved. What is "
    "answered here starts from the recipe as it stands now: look at it, and keep it again."
)


class KeepForm(Form):
    """Which proposal to keep, and under what name."""

    which = HiddenField(default="0")
    name = LineField("Name", longest=NAME_CHARS, required=True)


def save_revision(recipe_id: int, draft: Draft) -> int:
    """The number of the revision saved; ValueError, with a sentence to show, where the recipe was
    changed since the page was opened."""
    thing = Thing("recipe", recipe_id)
    with writing(to=recipe_url(recipe_id)) as session:
        if version_of(session, [thing]) != request.form.get("seen"):
            raise ValueError(CHANGED)

        def as_it_stands() -> Form:
            latest_id, _ = queries.latest_number(session, recipe_id)
            latest = revision(session, latest_id) or abort(404)
            return filled(session, latest.recipe, latest)

        with noting(session, thing, "kept from a worksheet", as_it_stands):
            return revise(session, recipe_id, draft, clock.now()) or abort(404)


def recipe_url(recipe_id: int) -> str:
    return url_for("recipes.show", recipe_id=recipe_id)
