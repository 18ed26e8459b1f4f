"""How large what a request sends may be, looked at before any of it is read."""

from collections.abc import Callable
from typing import Any, NamedTuple, TypeVar

from flask import Flask, current_app, request
from flask.typing import ResponseReturnValue
from werkzeug.datastructures import ImmutableMultiDict
from werkzeug.exceptions import RequestEntityTooLarge

MOST_FORM_BYTES = 1024 * 1024
_TAKES = "takes"

View = TypeVar("View", bound=Callable[..., Any])
Page = Callable[..., ResponseReturnValue]


class Takes(NamedTuple):
    """How large a form with files may be, and the page that is shown where one is larger."""

    most_bytes: int = MOST_FORM_BYTES
    too_large: Page | None = None


def takes_up_to(most_bytes: int, too_large: Page | None = None) -> Callable[[View], View]:
    """The view takes a form with files of this size; others, and other forms, take 1 MB.

    `too_large` has the arguments of the view, and an empty request: nothing of it was read.
    """

    def mark(view: View) -> View:
        setattr(view, _TAKES, Takes(most_bytes, too_large))
        return view

    return mark


def bound(app: Flask) -> None:
    app.before_request(_refuse_too_large)


def _refuse_too_large() -> ResponseReturnValue | None:
    """A body sent in chunks has a length here as well: the server has counted it."""
    view = current_app.view_functions.get(request.endpoint or "")
    most, too_large = getattr(view, _TAKES, Takes())
    if request.mimetype != "multipart/form-data":
        most, too_large = min(most, MOST_FORM_BYTES), None
    request.max_content_length = most
    if (request.content_length or 0) <= most:
        return None
    if too_large is None:
        raise RequestEntityTooLarge
    request.form = ImmutableMultiDict()
    return too_large(**(request.view_args or {}))
