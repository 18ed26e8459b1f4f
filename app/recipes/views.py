"""Recipes: the list, a recipe with its revisions, and the form that makes or revises one."""

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.journal import gear
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.gear import latest_brews
from app.journal.recipes import is_brewed
from app.journal.revising import add_recipe, plain_steps, steps_of
from app.journal.revising import revise as save_revised
from app.journal.rows import values_of
from app.models import Brew, Brewer, Recipe, RecipeRevision
from app.models.recipes import RevisionValues
from app.recipes import queries
from app.recipes.forms import MOST_STEPS, RecipeForm, empty_row, form_values
from app.recipes.words import RevisionWords, poured_by
from app.web import clock
from app.web.fields import clean_text
from app.web.formats import formats
from app.web.session import reading, writing

pages = Blueprint("recipes", __name__, url_prefix="/recipes")

Answer = str | Response | tuple[str, int]
MOST_LISTED = 200


@pages.get("")
def index() -> str:
    words = clean_text(request.args.get("q", ""))[:200]
    rows = queries.listed(reading(), words)
    return render_template(
        "recipes/index.html",
        rows=rows[:MOST_LISTED],
        hidden=max(0, len(rows) - MOST_LISTED),
        words=words,
        today=clock.today(),
    )


@pages.get("/new")
def new() -> str:
    return _form_page(reading(), RecipeForm(data=form_values()), "A new recipe")


@pages.get("/from-brew/<id:brew_id>")
def from_brew(brew_id: int) -> str:
    session = reading()
    brew = session.get(Brew, brew_id) or abort(404)
    day = formats().day(brew.brewed_on)
    values = values_of(brew, RevisionValues)
    data = form_values(values, plain_steps(values)) | {"why": f"As brewed on {day}"}
    form = RecipeForm(data=data)
    return _form_page(session, form, "A recipe from a brew")


@pages.post("/new")
def create() -> Answer:
    session = reading()
    form = RecipeForm(request.form)
    form.offer(gear.pick_list(session, Brewer))
    if not form.validate():
        return _form_page(session, form, "A new recipe"), 422
    with writing() as session:
        recipe = add_recipe(session, form.draft(), clock.now())
    flash(f"Saved: {recipe.name}.")
    return redirect(url_for(".show", recipe_id=recipe.id), 303)


@pages.get("/<id:recipe_id>")
def show(recipe_id: int) -> str:
    session = reading()
    recipe = queries.recipe_page(session, recipe_id) or abort(404)
    return _recipe_page(session, recipe, recipe.revisions[-1])


@pages.get("/<id:recipe_id>/<id:number>")
def show_revision(recipe_id: int, number: int) -> str:
    session = reading()
    recipe = queries.recipe_page(session, recipe_id) or abort(404)
    shown = next((r for r in recipe.revisions if r.number == number), None)
    return _recipe_page(session, recipe, shown or abort(404))


@pages.get("/<id:recipe_id>/revise")
def revise(recipe_id: int) -> str:
    session = reading()
    recipe = queries.recipe_page(session, recipe_id) or abort(404)
    latest = recipe.revisions[-1]
    frozen = is_brewed(session, latest.id)
    data = form_values(values_of(latest, RevisionValues), steps_of(latest))
    data |= {"name": recipe.name, "note": recipe.note, "why": "" if frozen else latest.why}
    return _form_page(session, RecipeForm(data=data), f"Revise {recipe.name}", recipe)


@pages.post("/<id:recipe_id>/revise")
def change(recipe_id: int) -> Answer:
    session = reading()
    recipe = queries.recipe_page(session, recipe_id) or abort(404)
    form = RecipeForm(request.form)
    form.offer(gear.pick_list(session, Brewer, recipe.revisions[-1].brewer_id))
    if not form.validate():
        return _form_page(session, form, f"Revise {recipe.name}", recipe), 422
    with writing() as session:
        number = save_revised(session, recipe_id, form.draft(), clock.now()) or abort(404)
    flash(f"Saved: {form.name.data}, revision {number}.")
    return redirect(url_for(".show", recipe_id=recipe_id), 303)


@pages.post("/<id:recipe_id>/bin")
def bin(recipe_id: int) -> Response:
    with writing() as session:
        recipe = session.get(Recipe, recipe_id) or abort(404)
        put_in_bin(recipe, clock.now())
    flash(f"Moved to the bin: {recipe.name}. Brews made with it keep its name.")
    return redirect(url_for(".show", recipe_id=recipe_id), 303)


@pages.post("/<id:recipe_id>/restore")
def restore(recipe_id: int) -> Response:
    with writing() as session:
        recipe = session.get(Recipe, recipe_id) or abort(404)
        take_from_bin(recipe)
    flash(f"Restored: {recipe.name}.")
    return redirect(url_for(".show", recipe_id=recipe_id), 303)


def _recipe_page(session: Session, recipe: Recipe, shown: RecipeRevision) -> str:
    names = gear.gear_names(session, Brewer, (r.brewer_id for r in recipe.revisions))
    words = RevisionWords(formats(), names)
    return render_template(
        "recipes/show.html",
        recipe=recipe,
        shown=shown,
        latest=recipe.revisions[-1],
        values=words.values(shown),
        disagreements=words.disagreements(shown),
        steps=list(zip(shown.steps, poured_by(shown), strict=True)),
        history=words.history(recipe.revisions),
        last_brewed=queries.last_brewed(session, recipe.id),
        brews=latest_brews(session, Brew.revision_id, shown.id),
        zone=clock.browser_zone(),
    )


def _form_page(session: Session, form: RecipeForm, title: str, recipe: Recipe | None = None) -> str:
    """The form of a new recipe, or of the one being revised."""
    latest = recipe.revisions[-1] if recipe else None
    form.offer(gear.pick_list(session, Brewer, latest.brewer_id if latest else None))
    return render_template(
        "recipes/edit.html",
        form=form,
        title=title,
        empty_row=empty_row(),
        most_steps=MOST_STEPS,
        recipe=recipe,
        latest=latest,
        frozen=latest is not None and is_brewed(session, latest.id),
    )
