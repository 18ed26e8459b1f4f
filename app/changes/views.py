"""The pages of what to change: about a brew, a bag, a recipe."""

from flask import Blueprint, abort, render_template, request, url_for

from app.changes import words
from app.journal.changes.advice import advice
from app.journal.changes.cups import Scope
from app.models import Bag, Brew, Recipe
from app.web.fields import number_or_none
from app.web.formats import formats
from app.web.session import reading
from app.web.what_to_change import shown

pages = Blueprint("changes", __name__, url_prefix="/changes")


@pages.get("/brew/<id:brew_id>")
def brew(brew_id: int) -> str:
    if reading().get(Brew, brew_id) is None:
        abort(404)
    return _page("brew", brew_id, url_for("brews.show", brew_id=brew_id))


@pages.get("/bag/<id:bag_id>")
def bag(bag_id: int) -> str:
    if reading().get(Bag, bag_id) is None:
        abort(404)
    return _page("bag", bag_id, url_for("bags.show", bag_id=bag_id))


@pages.get("/recipe/<id:recipe_id>")
def recipe(recipe_id: int) -> str:
    if reading().get(Recipe, recipe_id) is None:
        abort(404)
    return _page("recipe", recipe_id, url_for("recipes.show", recipe_id=recipe_id))


def _page(scope: Scope, row_id: int, back: str) -> str:
    found = advice(reading(), scope, row_id, number_or_none(request.args.get("taster")))
    return render_template(
        "changes/show.html",
        scope=scope,
        back=back,
        advice=found,
        what=shown(found),
        missing=words.missing(scope, found),
        head=words.HEAD,
        tables=words.tables(found, formats()) if found else (),
        limits=words.limits(found) if found else (),
    )
