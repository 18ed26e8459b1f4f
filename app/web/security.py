"""Which hosts and origins are accepted, and the headers that restrict what a page may load."""

from collections.abc import Sequence

from flask import Flask, Response, abort, g, request
from flask_wtf import CSRFProtect

from app.web import bodies

LOOPBACK_HOSTS = ("127.0.0.1", "localhost")
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; "
    "connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)
SAFE_METHODS = {"GET", "HEAD", "OPTIONS"}


def protect(app: Flask) -> None:
    app.config.update(
        TRUSTED_HOSTS=list(LOOPBACK_HOSTS),
        LAN_ADDRESSES=(),
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        WTF_CSRF_TIME_LIMIT=None,
        # The forms carry the token as a field of the page; FlaskForm is not used.
        WTF_CSRF_CHECK_DEFAULT=True,
    )
    bodies.bound(app)  # before the token is looked for, which reads the body
    CSRFProtect(app)
    app.before_request(_refuse_foreign_pages)
    app.after_request(_set_headers)


def open_to_network(app: Flask, addresses: Sequence[str]) -> None:
    """Accept paired devices at these addresses of this machine, and under no other name."""
    app.config.update(TRUSTED_HOSTS=[*LOOPBACK_HOSTS, *addresses], LAN_ADDRESSES=tuple(addresses))


def came_from_own_page() -> bool:
    """Whether the browser says that a page of ours sent this."""
    own = request.host_url.rstrip("/")
    site = request.headers.get("Sec-Fetch-Site", "same-origin")
    return site == "same-origin" and request.headers.get("Origin") == own


def _refuse_foreign_pages() -> None:
    """Browsers send Sec-Fetch-Site for loopback only; from the network they send Origin."""
    site = request.headers.get("Sec-Fetch-Site", "none")
    own = request.host_url.rstrip("/")
    foreign = site not in {"same-origin", "none"} or request.headers.get("Origin", own) != own
    if request.method not in SAFE_METHODS and foreign:
        abort(403, "This request came from another site.")


def _set_headers(response: Response) -> Response:
    response.headers.setdefault("Content-Security-Policy", POLICY)
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Referrer-Policy"] = "same-origin"
    if g.get("here") or request.is_secure:  # on plain http browsers ignore it, and complain
        response.headers["Cross-Origin-Opener-Policy"] = "same-origin"
    response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
    response.headers["Permissions-Policy"] = "camera=(), microphone=(), geolocation=()"
    if "Cache-Control" not in response.headers:
        response.headers["Cache-Control"] = "no-store"
    return response
