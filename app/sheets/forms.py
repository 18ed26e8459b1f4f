"""Which file, and what is said once for all lines of a sheet."""

from __future__ import annotations

from wtforms import FileField, Form, SelectField

from app.brewing import bounds
from app.config import MAX_REQUEST_BYTES
from app.models.base import NAME_CHARS
from app.sheets.words import DECIMALS, ORDERS, SCALES
from app.spreadsheet.grids import TOO_LARGE
from app.web.fields import LineField


class SheetForm(Form):
    sheet = FileField(
        "Spreadsheet", render_kw={"data-most": MAX_REQUEST_BYTES, "data-too-large": TOO_LARGE}
    )


class AskedForm(Form):
    """Called as the fields of a `Matching` are."""

    order = SelectField("Days are written with", choices=ORDERS)
    decimal = SelectField("Before decimals stands", choices=DECIMALS)
    scale = SelectField("Scores go from", choices=SCALES)
    brewer = LineField("Brewer of lines that name none", longest=NAME_CHARS)
    new_kind = SelectField(
        "Brewers that are new here are", choices={kind: kind for kind in bounds.BREWER_KINDS}
    )
    bean = LineField("Bean of lines that name none", longest=NAME_CHARS)
    taster = LineField("Whose scores, where no taster is named", longest=NAME_CHARS)
