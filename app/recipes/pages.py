"""What all pages of recipes share: their blueprint, and the page of a recipe's form."""

from collections.abc import Sequence

from flask import Blueprint, render_template
from werkzeug.wrappers import Response

from app.web.recipe_form import MOST_STEPS, RecipeForm, StepForm

pages = Blueprint("recipes", __name__, url_prefix="/recipes")

Answer = str | Response | tuple[str, int]


def form_page(
    form: RecipeForm, title: str, told: Sequence[str] | None = None, **revised: object
) -> str:
    """The form of a new recipe, or of the one `revised`; `told` is what belongs to one that was
    read from a text."""
    form.steps.offer_rows()
    return render_template(
        "recipes/edit.html",
        form=form,
        title=title,
        empty_row=StepForm(prefix="steps-N-"),  # the row that the script copies: N is its number
        most_steps=MOST_STEPS,
        told=told,
        **revised,
    )
