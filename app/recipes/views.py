"""Recipes: the list, a recipe with its revisions, and the form that makes or revises one."""

from flask import abort, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.formats import JOINED
from app.journal import gear
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.changes.advice import advice
from app.journal.gear import latest_brews
from app.journal.history import Thing
from app.journal.recipes import is_brewed
from app.journal.revising import add_recipe, plain_steps
from app.journal.revising import revise as save_revised
from app.journal.rows import values_of
from app.journal.told import told_apart
from app.models import Brew, Brewer, Recipe, RecipeRevision
from app.models.recipes import RevisionValues
from app.recipes import file_views, queries  # noqa: F401  importing views adds their pages
from app.recipes.as_table import RECIPE_COLUMNS, recipe_lines
from app.recipes.pages import Answer, form_page, pages
from app.recipes.words import RevisionWords, poured_by
from app.web import clock, what_to_change
from app.web.as_table import as_table, asked_as_table
from app.web.changing import edited
from app.web.fields import clean_text
from app.web.formats import formats
from app.web.recipe_form import RecipeForm, filled, form_values
from app.web.session import reading, saved_at, writing

MOST_LISTED = 200


@pages.get("")
def index() -> Answer:
    words = clean_text(request.args.get("q", ""))[:200]
    rows = queries.listed(reading(), words)
    if asked_as_table():
        return as_table("recipes", RECIPE_COLUMNS, recipe_lines(reading(), rows))
    return render_template(
        "recipes/index.html",
        rows=rows[:MOST_LISTED],
        hidden=max(0, len(rows) - MOST_LISTED),
        words=words,
        today=clock.today(),
    )


@pages.route("/new", methods=["GET", "POST"])
def new() -> Answer:
    session, sent = reading(), request.method == "POST"
    form = RecipeForm(request.form) if sent else RecipeForm(data=form_values())
    form.brewer_id.pick_from(gear.pick_list(session, Brewer), none="any")
    if not sent or not form.validate():
        return _form_page(form, "A new recipe")
    with writing() as session:
        recipe = add_recipe(session, form.draft(), clock.now())
        saved_at(session, _url(recipe.id), url_for(".revise", recipe_id=recipe.id))
    return _to_recipe(recipe.id, f"Saved: {recipe.name}.")


@pages.get("/from-brew/<id:brew_id>")
def from_brew(brew_id: int) -> Answer:
    session = reading()
    brew = session.get(Brew, brew_id) or abort(404)
    day = formats().day(brew.brewed_on).replace(JOINED, " ")  # to be kept as text
    values = values_of(brew, RevisionValues)
    data = form_values(values, plain_steps(values)) | {"why": f"As brewed on {day}"}
    form = RecipeForm(data=data)
    form.brewer_id.pick_from(gear.pick_list(session, Brewer), none="any")
    return _form_page(form, "A recipe from a brew")


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


@pages.route("/<id:recipe_id>/revise", methods=["GET", "POST"])
def revise(recipe_id: int) -> Answer:
    session = reading()
    recipe = queries.recipe_page(session, recipe_id) or abort(404)
    latest = recipe.revisions[-1]
    frozen = is_brewed(session, latest.id)
    edit = edited(filled(session, recipe, latest), Thing("recipe", recipe_id))
    form = edit.opened()
    form.brewer_id.pick_from(gear.pick_list(session, Brewer, form.brewer_id.data), none="any")
    if request.method != "POST" or not form.validate():
        return _form_page(
            form, f"Revise {recipe.name}", recipe=recipe, latest=latest, frozen=frozen
        )
    with edit.saving(form, to=_url(recipe_id)) as session:
        number = save_revised(session, recipe_id, form.draft(), clock.now()) or abort(404)
    return _to_recipe(recipe_id, f"Saved: {form.name.data}, revision {number}.")


@pages.post("/<id:recipe_id>/bin")
def bin(recipe_id: int) -> Response:
    with writing(to=_url(recipe_id)) as session:
        recipe = session.get(Recipe, recipe_id) or abort(404)
        put_in_bin(recipe, clock.now())
    saying = f"Moved to the bin: {recipe.name}. Brews made with it keep its name."
    return _to_recipe(recipe_id, saying)


@pages.post("/<id:recipe_id>/restore")
def restore(recipe_id: int) -> Response:
    with writing(to=_url(recipe_id)) as session:
        recipe = session.get(Recipe, recipe_id) or abort(404)
        take_from_bin(recipe)
    return _to_recipe(recipe_id, f"Restored: {recipe.name}.")


def _url(recipe_id: int) -> str:
    return url_for(".show", recipe_id=recipe_id)


def _to_recipe(recipe_id: int, message: str) -> Response:
    flash(message)
    return redirect(_url(recipe_id), 303)


def _recipe_page(session: Session, recipe: Recipe, shown: RecipeRevision) -> str:
    names = gear.gear_names(session, Brewer, (r.brewer_id for r in recipe.revisions))
    words = RevisionWords(formats(), names)
    brews = latest_brews(session, Brew.revision_id, shown.id)
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
        brews=brews,
        told=told_apart(session, [brew.row for brew in brews], formats()),
        zone=clock.browser_zone(),
        what=what_to_change.shown(advice(session, "recipe", recipe.id)),
        what_url=url_for("changes.recipe", recipe_id=recipe.id),
    )


def _form_page(form: RecipeForm, title: str, **revised: object) -> Answer:
    """The form of a new recipe, or of the one `revised`."""
    return form_page(form, title, None, **revised), 422 if request.method == "POST" else 200
