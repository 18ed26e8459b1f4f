"""What may stand in an address of the API behind its question mark."""

import re
from typing import TypeVar

from flask import request
from wtforms import Form

from app.web.api.json_forms import faults_of, fill, takes
from app.web.api.problems import Fault, Refused
from app.web.fields import LineField, NumberField

F = TypeVar("F", bound=Form)

LIMIT = (1, 200)
USUAL_LIMIT = 50
WRONG_QUERY = "The address asks for something that there is not; see the parts that are named."
NO_CURSOR = "This is no cursor of this list."
WHOLE = re.compile(r"-?\d{1,9}", re.ASCII)


class PagedQuery(Form):
    """A list, some at a time."""

    cursor = LineField("Where to go on: what `next` said", longest=30)
    limit = NumberField(f"How many at most; {USUAL_LIMIT} if left out", bounds=LIMIT, whole=True)

    @property
    def most(self) -> int:
        return int(self.limit.data or USUAL_LIMIT)


def read_query(of: type[F]) -> F:
    """The parameters of the address. Raises Refused where there is one that does not fit."""
    form = of()
    names = [field.name for field in form]
    unknown = [Fault(name, "There is no such parameter.") for name in request.args.keys() - names]
    sent: dict[str, object] = dict(request.args.items())
    for name, text in request.args.items():
        if name in names and takes(form[name])["type"] == "integer" and WHOLE.fullmatch(text):
            sent[name] = int(text)
    fill(form, names, sent)
    form.validate()
    faults = sorted(unknown) + faults_of(form, {name: name for name in names})
    if faults:
        raise Refused(422, WRONG_QUERY, faults)
    return form


def no_cursor() -> Refused:
    return Refused(422, WRONG_QUERY, [Fault("cursor", NO_CURSOR)])
