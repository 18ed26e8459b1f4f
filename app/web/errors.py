"""Error pages: what happened, what became of what was typed, and what to do now.

A form that could not be saved comes back hidden in the page, so that one tap sends it again.
"""

import sqlite3
from typing import NamedTuple

from flask import Flask, Response, current_app, g, make_response, render_template, request
from flask_wtf.csrf import CSRFError, generate_csrf
from markupsafe import Markup
from sqlalchemy.exc import DBAPIError
from werkzeug.exceptions import HTTPException, InternalServerError

from app.config import MAX_REQUEST_MB, Config
from app.file.refused import JournalMoved, JournalRefused
from app.trouble import RETRY_S, Trouble, trouble_of
from app.web.api.problems import Refused, is_api, problem, show
from app.web.damage import restoring, watch
from app.web.security import SAFE_METHODS, came_from_own_page

MESSAGES = {
    400: "The browser sent something unreadable. Go back: what you typed is still there.",
    403: "This request came from another place than Oddcup's own pages, so nothing was done.",
    404: "There is nothing at this address. It may have been renamed, or never existed.",
    405: "This address does not take that kind of request.",
    413: f"That is too large to take in. A photo or a file may have {MAX_REQUEST_MB} MB at most.",
}
OLD_FORM = (
    "This page was opened in an earlier session of the browser, so it was not saved.",
    "Send it once more from here; if there is no button below, go back, copy what you typed, "
    "reload the page and enter it again.",
)
FAULT = "Oddcup made a mistake. It is a fault of the program, not of what you did."
FAULT_WAY_OUT = (
    "Try again; if it comes back, what to tell its makers stands where Oddcup was started."
)
RETRIED = {503, 507}
NOT_SAVED = "Nothing of this was saved."
PARTLY_SAVED = "It was saved before that, all of it or a part: look before you send it again."
PERHAPS_SAVED = "Whether it was saved is not known: look before you send it again."
PLAIN = Markup(
    '<!doctype html><html lang="en"><meta charset="utf-8"><title>Oddcup</title>'
    "<h1>That did not work</h1><p>{what}</p><p>{saved}</p><p>{way_out}</p>"
    '<form method="post">{fields}{button}</form><p><a href="/">To the first page</a></p></html>'
)


class Sent(NamedTuple):
    """What a form sent, to be sent again; files cannot be."""

    fields: list[tuple[str, str]]
    had_file: bool


def handle(app: Flask) -> None:
    app.register_error_handler(HTTPException, _show)
    app.register_error_handler(CSRFError, _show_old_form)
    app.register_error_handler(Refused, show)
    for kind in (DBAPIError, sqlite3.Error, JournalRefused, JournalMoved, OSError):
        app.register_error_handler(kind, _show_trouble)


def _show(error: HTTPException) -> Response:
    code = error.code or 500
    if isinstance(error, InternalServerError):
        return _show_fault(error.original_exception or error)
    return _page(code, MESSAGES.get(code, error.name + "."))


def _show_old_form(error: CSRFError) -> Response:
    """A form of our own pages comes back with a token of today; nobody else's does."""
    token = generate_csrf() if came_from_own_page() else None
    what, way_out = OLD_FORM
    return _page(400, what, way_out, _sent(token) if token else None)


def _show_trouble(error: Exception) -> Response:
    config: Config = current_app.config["JOURNAL"]
    trouble = trouble_of(error, config.sqlite_path)
    if trouble is None:
        raise error
    return _tell(trouble, error)


def _show_fault(error: BaseException) -> Response:
    """Of a damaged journal anything may come; so it is looked over before a word is said of it."""
    if watch().look_now():
        return _tell(Trouble("damaged", "The journal’s file is damaged.", "", 500), error)
    return _tell(Trouble("fault", FAULT, FAULT_WAY_OUT, 500), error)


def _tell(trouble: Trouble, error: BaseException) -> Response:
    if trouble.is_damage:
        watch().look_now()
    if request.method in SAFE_METHODS:
        return _page(trouble.status, trouble.what, trouble.way_out)
    saved = PARTLY_SAVED if g.get("saved") else NOT_SAVED
    if isinstance(error, DBAPIError) and error.connection_invalidated:
        saved = PERHAPS_SAVED
    return _page(trouble.status, trouble.what, trouble.way_out, _sent(), saved)


def _sent(token: str | None = None) -> Sent | None:
    try:
        fields = [
            (name, token if token and name == "csrf_token" else value)
            for name, value in request.form.items(multi=True)
        ]
        return Sent(fields, any(file.filename for file in request.files.values()))
    except (HTTPException, OSError):  # the body could not be read to its end
        return None


def _page(
    code: int, what: str, way_out: str = "", sent: Sent | None = None, saved: str = ""
) -> Response:
    if is_api():
        said = " ".join(filter(None, (what, saved, way_out)))
        retry = {"Retry-After": str(RETRY_S)} if code in RETRIED else {}
        return problem(code, said, headers=retry)
    try:
        health = watch().health
        told = {"what": what, "way_out": way_out, "sent": sent, "saved": saved, "health": health}
        body = render_template("error.html", code=code, **told, **restoring(health))
    except Exception:  # whatever is wrong with the machine, the page that says so is shown
        current_app.logger.exception("The error page could not be rendered.")
        body = _plain_page(what, way_out, sent, saved)
    response = make_response(body, code)
    if code in RETRIED:
        response.headers["Retry-After"] = str(RETRY_S)
    return response


def _plain_page(what: str, way_out: str, sent: Sent | None, saved: str) -> str:
    field = Markup('<input type="hidden" name="{}" value="{}">')
    fields = Markup("").join(field.format(*pair) for pair in (sent.fields if sent else []))
    button = Markup("<button>Try again</button>") if sent else ""
    return PLAIN.format(what=what, way_out=way_out, saved=saved, fields=fields, button=button)
