"""The earlier versions of one thing: what each change made of it, and the way back."""

from typing import NamedTuple

from flask import Blueprint, abort, render_template, request

from app.formats import DASH
from app.history.words import KINDS, Kind
from app.journal.history import PAGE_ROWS, ChangeRow, Thing, changes_page, is_there
from app.models.history import FieldText
from app.web import clock
from app.web.fields import number_or_none
from app.web.form_text import shown
from app.web.session import reading

pages = Blueprint("history", __name__, url_prefix="/history")


class FieldChange(NamedTuple):
    """A field before and after a change, as a person reads it."""

    label: str
    before: str
    after: str


@pages.get("/<thing>/<id:row_id>")
def show(thing: str, row_id: int) -> str:
    of: Kind = KINDS.get(thing) or abort(404)
    session, shown = reading(), Thing(thing, row_id)
    start = number_or_none(request.args.get("from"))
    rows = changes_page(session, shown, start)
    if not rows and not is_there(session, shown):
        abort(404)
    return render_template(
        "history/show.html",
        thing=thing,
        of=of,
        row_id=row_id,
        start=start,
        changes=[(row, _fields(row)) for row in rows[:PAGE_ROWS]],
        older=rows[PAGE_ROWS].number if len(rows) > PAGE_ROWS else None,
        zone=clock.browser_zone(),
    )


def _fields(row: ChangeRow) -> list[FieldChange]:
    before: dict[str, FieldText] = {text["name"]: text for text in row.before}
    return [
        FieldChange(text["label"], shown(before.get(text["name"])) or DASH, shown(text) or DASH)
        for text in row.after
    ]
