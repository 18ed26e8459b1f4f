"""The form a device fills in to be paired, and the one that names a guest."""

from wtforms import Form

from app.models.base import NAME_CHARS
from app.web.fields import LineField, PickField


class PairForm(Form):
    code = LineField("Code", longest=20, required=True)
    name = LineField("Name of this device", longest=NAME_CHARS, required=True)


class GuestForm(Form):
    seat_id = PickField("Taster", required=True)
