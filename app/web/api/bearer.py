"""Who may use the API: whoever carries a token, for what the token allows. No cookie is read."""

from collections import deque
from contextlib import suppress
from datetime import datetime, timedelta
from threading import Lock
from time import monotonic

from flask import current_app, g, request
from sqlalchemy.exc import DBAPIError
from werkzeug.exceptions import SecurityError
from werkzeug.routing import RoutingException
from werkzeug.wrappers import Response

from app.file.refused import JournalRefused
from app.formats import Formats
from app.journal.tokens import KnownToken, note_use, token_of
from app.web import clock
from app.web.api.operations import SCOPES, operation_of
from app.web.api.problems import problem
from app.web.session import database, reading

NOTED_EVERY = timedelta(minutes=1)
MOST_A_MINUTE = 600
A_MINUTE = "API_A_MINUTE"  # in the app's configuration: the share of this process

UNKNOWN_HOST = "This machine does not answer to the name that was asked for."
NO_TOKEN = "Send a token in the header Authorization: Bearer TOKEN."  # noqa: S105
WRONG = "There is no such token, or it was revoked, or it has expired."
NOT_FROM_HERE = "This token is for the journal’s own machine only."
NOT_ALLOWED = "This token may not do that; it would need: {}."
TOO_MANY = "More than {} requests came with this token within a minute."


class Pace:
    """When the requests of the last minute came, by token; each process counts its own share."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._came: dict[int, deque[float]] = {}

    def wait_s(self, token_id: int, most: int) -> int:
        """0 for a request that may pass, which is counted, else how long to wait."""
        with self._lock:
            now, came = monotonic(), self._came.setdefault(token_id, deque())
            while came and came[0] <= now - 60:
                came.popleft()
            if len(came) >= most:
                return int(came[0] + 60 - now) + 1
            came.append(now)
            return 0


def admit(*, here: bool) -> Response | None:
    """Let a request to the API in, or answer it. `here`: it comes from the journal's machine."""
    if isinstance(request.routing_exception, SecurityError):
        return problem(400, UNKNOWN_HOST)
    g.formats = Formats()  # units of the names: g, °C, seconds
    sent = _sent_token()
    token = token_of(reading(), sent, clock.now()) if sent else None
    if token is None:
        bearer = 'Bearer realm="journal"' + (', error="invalid_token"' if sent else "")
        return problem(401, WRONG if sent else NO_TOKEN, headers={"WWW-Authenticate": bearer})
    if not here and not token.from_network:
        return problem(403, NOT_FROM_HERE)
    most = int(current_app.config.get(A_MINUTE, MOST_A_MINUTE))
    if wait_s := _pace().wait_s(token.id, most):
        return problem(429, TOO_MANY.format(most), headers={"Retry-After": str(wait_s)})
    _note(token, clock.now())
    g.token = token
    return _refuse_scope(token) or _refuse_detour()


def _refuse_scope(token: KnownToken) -> Response | None:
    operation = operation_of(current_app, request.endpoint)
    if operation is None or getattr(token, operation.scope):
        return None
    words = SCOPES[operation.scope]
    bearer = f'Bearer realm="journal", error="insufficient_scope", scope="{operation.scope}"'
    return problem(403, NOT_ALLOWED.format(words), headers={"WWW-Authenticate": bearer})


def _refuse_detour() -> Response | None:
    """An address with a doubled slash is none; it would be answered with a page elsewhere."""
    detour = isinstance(request.routing_exception, RoutingException)
    return problem(404, "There is nothing at this address.") if detour else None


def _sent_token() -> str:
    scheme, _, sent = request.headers.get("Authorization", "").partition(" ")
    return sent.strip() if scheme.lower() == "bearer" else ""


def _pace() -> Pace:
    known: Pace = current_app.extensions.setdefault("oddcup_api_pace", Pace())
    return known


def _note(token: KnownToken, now: datetime) -> None:
    """To the minute, in a write of its own that waits for nobody."""
    if token.last_used_at is not None and now - token.last_used_at < NOTED_EVERY:
        return
    with suppress(DBAPIError, JournalRefused), database().writing(patience_s=0) as session:
        note_use(session, token.id, now)
