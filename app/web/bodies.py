"""How large what a request sends may be, looked at before any of it is read."""

from collections.abc import Callable
from functools import wraps
from typing import Any, NamedTuple, TypeVar

from flask import Flask, current_app, g, request
from flask.typing import ResponseReturnValue
from werkzeug.datastructures import ImmutableMultiDict
from werkzeug.exceptions import RequestEntityTooLarge
from werkzeug.sansio.multipart import Data, Field, MultipartDecoder, Preamble

MOST_FORM_BYTES = 1024 * 1024
_TAKES = "takes"

View = TypeVar("View", bound=Callable[..., Any])
Answer = Callable[..., ResponseReturnValue]


class Takes(NamedTuple):
    """How large a form with files may be, and whether its view can tell that one is larger."""

    most_bytes: int = MOST_FORM_BYTES
    tells: bool = False


def takes_up_to(most_bytes: int, too_large: Answer | None = None) -> Callable[[View], View]:
    """The view takes a form with files of this size; others, and other forms, take 1 MB.

    `too_large` answers in its place where a form is larger. It finds in the request what was
    typed before the first file, and no file.
    """

    def mark(view: View) -> View:
        @wraps(view)
        def bounded(**args: int) -> ResponseReturnValue:
            answer: Answer = too_large if too_large and "too_large" in g else view
            return answer(**args)

        setattr(bounded, _TAKES, Takes(most_bytes, too_large is not None))
        return bounded  # type: ignore[return-value]  # called as the view is

    return mark


def bound(app: Flask) -> None:
    app.before_request(_refuse_too_large)


def _refuse_too_large() -> None:
    """A body sent in chunks has a length here as well: the server has counted it."""
    view = current_app.view_functions.get(request.endpoint or "")
    most, tells = getattr(view, _TAKES, Takes())
    if request.mimetype != "multipart/form-data":
        most, tells = min(most, MOST_FORM_BYTES), False
    request.max_content_length = most
    if (request.content_length or 0) <= most:
        return
    if not tells:
        raise RequestEntityTooLarge
    g.too_large = True
    request.form, request.files = ImmutableMultiDict(_typed()), ImmutableMultiDict()


def _typed() -> list[tuple[str, str]]:
    """The fields of a form before its first file, as far as they stand at its start."""
    boundary = request.mimetype_params.get("boundary", "").encode()
    decoder = MultipartDecoder(boundary, max_parts=current_app.config["MAX_FORM_PARTS"])
    start: bytes = request.environ["wsgi.input"].read(MOST_FORM_BYTES)
    typed: list[tuple[str, str]] = []
    field, text = "", b""
    try:
        decoder.receive_data(start)
        while isinstance(event := decoder.next_event(), Preamble | Field | Data):
            if isinstance(event, Field):
                field, text = event.name, b""
            elif isinstance(event, Data):
                text += event.data
                if not event.more_data:
                    typed.append((field, text.decode("utf-8", "replace")))
    except ValueError:  # it is no form
        return []
    return typed
