"""What a form asks while it is filled in: how a time is read, what a recipe says."""

from flask import Blueprint, Response, request
from wtforms import Form

from app.brewing import bounds
from app.web.fields import DurationField

pages = Blueprint("look", __name__, url_prefix="/brews/look")


class TimeForm(Form):
    text = DurationField("Time", bounds=bounds.STEEP_S)


@pages.get("/time")
def time() -> Response:
    """What is understood of a time, or why it is not."""
    form = TimeForm(request.args)
    form.validate()
    said = form.text.understood or " ".join(form.text.errors)
    return Response(said, mimetype="text/plain")
