"""Forms of the page: which file, and whose rows."""

from __future__ import annotations

from wtforms import FileField, Form, HiddenField, RadioField

KEEP = {"mine": "Keep what is here", "theirs": "Take what is in the package"}


class PackageForm(Form):
    package = FileField("Data package")


class BringInForm(Form):
    kept = HiddenField()
    file_name = HiddenField()
    keep = RadioField("Where rows differ", choices=KEEP, default="mine")
