"""Any list as a table: the address of its page with `as=csv` is the whole list as filtered."""

from collections.abc import Iterable, Sequence
from itertools import chain
from urllib.parse import urlencode

from flask import request, stream_with_context
from werkzeug.wrappers import Response

from app.journal.as_table import Column, Row, lines
from app.web import clock

AS, CSV = "as", "csv"
# Where in its list a page begins, or what it shows beside it: not what the list is narrowed to.
OF_THE_PAGE = {"before", "after", "from", "numbers", "fragment", "choose", "once"}


def asked_as_table() -> bool:
    return request.args.get(AS) == CSV


def as_table(name: str, head: Sequence[Column[Row]], rows: Iterable[Row]) -> Response:
    """A file called `name`, read from the journal while it is sent.

    The first lines are read before the answer begins, so that what is wrong has its error page.
    """
    text = lines(head, rows, clock.browser_zone())
    first = next(text)
    return Response(
        stream_with_context(chain((first,), text)),
        content_type="text/csv; charset=utf-8; header=present",
        headers={"Content-Disposition": f'attachment; filename="{name}.csv"'},
    )


def table_address() -> str:
    """This page's list as a table, as it is filtered."""
    asked = {key: values for key, values in request.args.lists() if key not in OF_THE_PAGE}
    return f"{request.path}?{urlencode(asked | {AS: [CSV]}, doseq=True)}"
