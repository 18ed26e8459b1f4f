"""A recipe taken out and read in: as JSON-LD, as a printed card with a code, from pasted text."""

import json
from dataclasses import asdict

from flask import abort, render_template, request
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response
from wtforms import Form

from app.journal import gear
from app.journal.revising import steps_of
from app.journal.rows import values_of
from app.models import Brewer, Recipe, RecipeRevision
from app.models.recipes import RevisionValues
from app.recipes import queries
from app.recipes.ld_finding import MOST_CHARS, NoRecipeError
from app.recipes.ld_reading import ReadRecipe, read_recipe
from app.recipes.ld_writing import RecipeText, short, whole
from app.recipes.pages import Answer, form_page, pages
from app.recipes.words import RevisionWords, poured_by
from app.text import search_text
from app.web import qr
from app.web.fields import NoteField
from app.web.formats import formats
from app.web.recipe_form import MOST_STEPS, RecipeForm
from app.web.session import reading

# Cameras of phones read a code of so many bytes from a screen and from paper.
MOST_CODE_BYTES = 900
REVISION = "/<id:recipe_id>/<id:number>"


class ReadForm(Form):
    """Text that may hold a recipe."""

    text = NoteField("The recipe as text", longest=MOST_CHARS, required=True)


@pages.get(f"{REVISION}/recipe.json")
def as_file(recipe_id: int, number: int) -> Response:
    session = reading()
    recipe, revision = _shown(session, recipe_id, number)
    data = whole(_text(session, recipe, revision))
    name = f"recipe-{recipe_id}-{number}.json"
    return Response(
        json.dumps(data, ensure_ascii=False, indent=2) + "\n",
        mimetype="application/ld+json",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


@pages.get(f"{REVISION}/card")
def card(recipe_id: int, number: int) -> str:
    session = reading()
    recipe, revision = _shown(session, recipe_id, number)
    told = _text(session, recipe, revision)
    text = short(told)
    code_bytes = len(text.encode())
    words = RevisionWords(formats(), {revision.brewer_id: told.brewer})
    return render_template(
        "recipes/card.html",
        recipe=recipe,
        shown=revision,
        values=words.values(revision),
        steps=list(zip(revision.steps, poured_by(revision), strict=True)),
        drawing=qr.draw(text, stretches=True) if code_bytes <= MOST_CODE_BYTES else None,
        code_bytes=code_bytes,
        most=MOST_CODE_BYTES,
    )


@pages.route("/read", methods=["GET", "POST"])
def read() -> Answer:
    """Text that somebody pasted becomes the form of a new recipe; nothing is saved by reading."""
    sent = request.method == "POST"
    form = ReadForm(request.form if sent else None)
    if not sent or not form.validate():
        return render_template("recipes/read.html", form=form), 422 if sent else 200
    try:
        found = read_recipe(form.text.data or "")
    except NoRecipeError as why:
        form.text.errors = [*form.text.errors, str(why)]
        return render_template("recipes/read.html", form=form), 422
    return form_page(_filled(reading(), found), "A recipe that was read", told=found.told), 200


def _filled(session: Session, found: ReadRecipe) -> RecipeForm:
    brewers = gear.pick_list(session, Brewer)
    wanted = search_text(found.brewer)
    here = next(
        (row_id for row_id, name in brewers if wanted and search_text(name) == wanted), None
    )
    if found.brewer and here is None:
        found.told.append(f"The brewer {found.brewer} is not in this journal: please choose one.")
    if len(found.steps) > MOST_STEPS:
        found.told.append(f"The first {MOST_STEPS} of its {len(found.steps)} steps are here.")
    steps = [
        asdict(step) | {"place": n} for n, step in enumerate(found.steps[:MOST_STEPS], start=1)
    ]
    texts = {"name": found.name, "note": found.note, "why": "", "brewer_id": here}
    form = RecipeForm(data={**found.amounts, **texts, "steps": steps})
    form.brewer_id.pick_from(brewers, none="any")
    return form


def _shown(session: Session, recipe_id: int, number: int) -> tuple[Recipe, RecipeRevision]:
    recipe = queries.recipe_page(session, recipe_id) or abort(404)
    shown = next((one for one in recipe.revisions if one.number == number), None)
    return recipe, shown or abort(404)


def _text(session: Session, recipe: Recipe, revision: RecipeRevision) -> RecipeText:
    names = gear.gear_names(session, Brewer, [revision.brewer_id])
    return RecipeText(
        recipe.name, recipe.note, revision.number, names.get(revision.brewer_id, ""),
        values_of(revision, RevisionValues), steps_of(revision),
    )  # fmt: skip
