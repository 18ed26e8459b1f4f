"""Forms of the page: which file, and whose rows."""

from __future__ import annotations

from wtforms import FileField, Form, HiddenField, RadioField

from app.config import MAX_REQUEST_BYTES
from app.taking_out.words import TOO_LARGE

KEEP = {"mine": "Keep what is here", "theirs": "Take what is in the package"}


class PackageForm(Form):
    package = FileField(
        "Data package", render_kw={"data-most": MAX_REQUEST_BYTES, "data-too-large": TOO_LARGE}
    )


class BringInForm(Form):
    kept = HiddenField()
    file_name = HiddenField()
    keep = RadioField("Where rows differ", choices=KEEP, default="mine")
