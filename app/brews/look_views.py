"""What a form asks while it is filled in: how a time is read, what a recipe says otherwise."""

from flask import Blueprint, Response, render_template, request
from wtforms import Form

from app.brewing import bounds
from app.brews import asking
from app.brews.filling import PickLists
from app.brews.forms import BrewForm
from app.web import clock
from app.web.fields import DurationField
from app.web.form_text import typed
from app.web.session import reading

pages = Blueprint("look", __name__, url_prefix="/brews/look")
CUPS = ("", "a-", "b-")


class TimeForm(Form):
    text = DurationField("Time", bounds=bounds.STEEP_S)


@pages.get("/time")
def time() -> Response:
    """What is understood of a time, or why it is not."""
    form = TimeForm(request.args)
    form.validate()
    said = form.text.understood or " ".join(form.text.errors)
    return Response(said, mimetype="text/plain")


@pages.get("/recipe")
def recipe() -> str:
    """What the chosen recipe says otherwise than the form of one cup, a part of its page; nothing
    where none is chosen."""
    session = reading()
    cup = next((cup for cup in CUPS if f"{cup}revision_id" in request.args), "")
    form = BrewForm(request.args, prefix=cup)
    of = asking.chosen(session, form)
    if of is None:
        return ""
    lists = PickLists(session, clock.today())
    lists.put_into(form)
    said = asking.says(form, of, lists) or asking.agrees(of)
    values = {text["name"]: "".join(typed(text)) for text in asking.otherwise(form, of, lists)}
    return render_template("brews/_recipe.html", said=said, values=values)
