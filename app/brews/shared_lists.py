"""Lists with the same options are sent once a page: `choices.js` gives the others theirs.

Without script the page opens with every list in full (`lists` in its address).
"""

from collections.abc import Mapping

from flask import request
from wtforms import SelectField
from wtforms.form import BaseForm

EVERY = "every"


def share(form: BaseForm, like: Mapping[str, str]) -> dict[str, str]:
    """Leave each field of `like` only what it holds, and nothing; returns, by the names that fields
    have on the page, the ids of the lists that hold their other options."""
    if request.args.get("lists") == EVERY:
        return {}
    shared = {}
    for name, other in like.items():
        field = form[name]
        if not isinstance(field, SelectField):
            continue
        choices = [(value, label) for value, label, *_ in field.iter_choices()]
        field.choices = [one for one in choices if one[0] in ("", field.data)]
        shared[field.name] = other
    return shared
