"""Error pages: what went wrong, and that what was typed is not lost."""

from flask import Flask, render_template
from flask_wtf.csrf import CSRFError
from sqlalchemy.exc import OperationalError
from werkzeug.exceptions import HTTPException

from app.config import MAX_REQUEST_MB

MESSAGES = {
    400: "The browser sent something unreadable. Go back: what you typed is still there.",
    403: "This request came from another place than Oddcup's own pages, so nothing was done.",
    404: "There is nothing at this address. It may have been renamed, or never existed.",
    405: "This address does not take that kind of request.",
    413: f"That is too large to take in. A photo may have at most {MAX_REQUEST_MB} MB.",
    503: "The journal is busy. Nothing was lost: go back and press the button once more.",
}


def handle(app: Flask) -> None:
    app.register_error_handler(HTTPException, _show)
    app.register_error_handler(CSRFError, _show_stale_form)
    app.register_error_handler(OperationalError, _show_busy)


def _page(code: int, message: str) -> tuple[str, int]:
    return render_template("error.html", code=code, saying=message), code


def _show(error: HTTPException) -> tuple[str, int]:
    code = error.code or 500
    return _page(code, MESSAGES.get(code, "Something went wrong. Your journal is safe."))


def _show_stale_form(error: CSRFError) -> tuple[str, int]:
    return _page(
        400,
        "This page was opened in an earlier session, so it was not saved. "
        "Go back, reload the page, and save again.",
    )


def _show_busy(error: OperationalError) -> tuple[str, int]:
    if "locked" not in str(error).lower():
        raise error
    return _page(503, MESSAGES[503])
