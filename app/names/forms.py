"""The form of a name."""

from wtforms import Form, HiddenField

from app.models.base import NAME_CHARS
from app.web.fields import LineField


class NameForm(Form):
    """`was` is the name that the form was shown with."""

    name = LineField("Name", longest=NAME_CHARS, required=True)
    was = HiddenField()
