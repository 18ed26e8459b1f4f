"""How large what a request sends may be, looked at before any of it is read."""

from collections.abc import Callable
from typing import Any, TypeVar

from flask import Flask, current_app, request
from werkzeug.exceptions import RequestEntityTooLarge

MOST_FORM_BYTES = 1024 * 1024
_LARGEST = "largest_body"

View = TypeVar("View", bound=Callable[..., Any])


def takes_up_to(most_bytes: int) -> Callable[[View], View]:
    """The view takes a form with files of this size; others, and other forms, take 1 MB."""

    def mark(view: View) -> View:
        setattr(view, _LARGEST, most_bytes)
        return view

    return mark


def bound(app: Flask) -> None:
    app.before_request(_refuse_too_large)


def _refuse_too_large() -> None:
    """A body sent in chunks has a length here as well: the server has counted it."""
    view = current_app.view_functions.get(request.endpoint or "")
    most = getattr(view, _LARGEST, MOST_FORM_BYTES)
    if request.mimetype != "multipart/form-data":
        most = min(most, MOST_FORM_BYTES)
    request.max_content_length = most
    if (request.content_length or 0) > most:
        raise RequestEntityTooLarge
