"""Which browser it is: a secret in a cookie that no script can read; only its hash is stored."""

from hashlib import sha256
from secrets import token_urlsafe

from flask import current_app, g, request
from werkzeug.wrappers import Response

from app.journal.blind.saving import Browser

COOKIE_LASTS_S = 12 * 3600
LONGEST = 100


def _name() -> str:
    return f"{current_app.config['SESSION_COOKIE_NAME']}_pour"


def known_browser() -> str:
    """The hash of this browser's secret; of nothing if it has none, which matches no trial."""
    return _hash(request.cookies.get(_name(), "")[:LONGEST])


def this_browser() -> str:
    """The hash of this browser's secret, drawn now if it has none; `remember` sends it."""
    if request.cookies.get(_name()):
        return known_browser()
    return _hash(g.setdefault("pour_secret", token_urlsafe(32)))


def who() -> Browser:
    """This browser, and the address that it is asking from."""
    return Browser(this_browser(), request.remote_addr or "")


def remember(response: Response) -> Response:
    """Give the browser the secret that was drawn for it."""
    secret = g.get("pour_secret")
    if secret:
        response.set_cookie(
            _name(), secret, max_age=COOKIE_LASTS_S, httponly=True, samesite="Strict",
            secure=request.is_secure, path="/blind",
        )  # fmt: skip
    return response


def _hash(secret: str) -> str:
    return sha256(secret.encode()).hexdigest()
