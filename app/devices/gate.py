"""Who may talk: the browser on this machine, paired devices, guests who taste in a blind test, and
helpers who pour in one. Scripts talk to the API only (`web/api/bearer.py`).

Before anything else a request is let in, or answered with a page that shows nothing of the
journal. The device is looked up for every request, so that unpairing takes effect at once.
"""

from collections.abc import Mapping

from flask import current_app, g, render_template, request
from werkzeug.exceptions import SecurityError
from werkzeug.wrappers import Response

from app.devices import queries
from app.devices.queries import KnownDevice
from app.devices.saving import note_seen
from app.journal.blind.helpers import takes_helpers
from app.web import clock, shared_codes
from app.web.api import bearer
from app.web.api.problems import is_api
from app.web.codes import hash_secret
from app.web.security import LOOPBACK_HOSTS
from app.web.session import reading

Refusal = tuple[str, int] | Response

COOKIE_LIFE_S = 365 * 24 * 3600
BARE = "devices/bare.html"
PAIRING = frozenset({"devices.pair", "devices.pair_now"})
# What is done on the machine of the journal only.
ONLY_HERE = frozenset({"devices", "backups", "tokens"})
# What the bare page loads; a device that is not paired gets no other file.
BARE_FILES = frozenset(
    {"favicon.svg", "css/tokens.css", "css/layout.css", "css/forms.css", "css/parts.css"}
)
# A guest's own pages, and nothing that shows a key before the answer.
GUEST_PAGES = frozenset(
    {
        "devices.guest", "devices.guest_state",
        "blind.trial", "blind.trial_state", "blind.answer", "blind.reveal", "blind.after",
    }
)  # fmt: skip
# A helper's: the serving cards, which they claim and cover. Nothing that a taster answers.
HELPER_PAGES = frozenset(
    {"blind.pour_all", "blind.pour_state", "blind.claim_all", "blind.serve_all", "blind.served"}
)

UNKNOWN_HOST = "This machine does not answer to the name that was asked for.\n"
NOT_PAIRED = (
    "Whoever keeps the journal can make a code for it: on the journal’s own machine, under "
    "More, Devices."
)
NOT_HERE = "This is done on the journal’s own machine only."
NOT_FOR_GUESTS = (
    "This device is a guest’s, for one taster of one blind test, and this page is no part of that."
)
NOT_FOR_HELPERS = (
    "This device helps in one blind test: it shows the serving cards there, and this page is none."
)
HELPED = (
    "The test in which this device helped has ended, or is poured without a helper now: this "
    "device opens nothing more."
)


def admit() -> Refusal | None:
    """Let the request in, or answer it. Only the household's pages have the navigation."""
    g.layout, g.device, g.here = BARE, None, False
    shared_codes.look(clock.now())
    if is_api():  # no cookie counts there
        return bearer.admit(here=from_this_machine())
    if isinstance(request.routing_exception, SecurityError):
        return Response(UNKNOWN_HOST, 400, mimetype="text/plain")
    if from_this_machine():
        g.layout, g.here = None, True
        return None
    g.device = device = _device()
    if request.endpoint in PAIRING or _is_bare_file():
        return None
    if device is None:
        return _refuse(NOT_PAIRED, pairing=True)
    note_seen(device.id, device.last_seen_at, clock.now())
    if device.guest_of_test_id is not None:
        allowed = guest_may(request.endpoint, request.view_args or {}, device)
        return None if allowed else _refuse(NOT_FOR_GUESTS)
    if device.helper_of_test_id is not None:
        return _refuse_helper(device.helper_of_test_id)
    g.layout = None
    only_here = request.blueprint in ONLY_HERE or request.endpoint == "today.demo"
    return _refuse(NOT_HERE) if only_here else None


def from_this_machine() -> bool:
    """Whether peer and Host are both loopback."""
    host = request.host.partition(":")[0].lower()
    return (request.remote_addr or "").startswith("127.") and host in LOOPBACK_HOSTS


def guest_may(endpoint: str | None, view_args: Mapping[str, object], device: KnownDevice) -> bool:
    """Whether a guest may open this page: one of GUEST_PAGES, of the guest's own trials."""
    if endpoint == "static":
        return True
    if endpoint not in GUEST_PAGES:
        return False
    if "trial_id" not in view_args:
        return True
    own = (device.guest_of_test_id, device.guest_taster_id)
    return queries.guest_of_trial(reading(), int(str(view_args["trial_id"]))) == own


def helper_may(endpoint: str | None, view_args: Mapping[str, object], test_id: int) -> bool:
    """Whether a helper may open this page: one of HELPER_PAGES, of the helper's own test."""
    if endpoint == "static":
        return True
    if endpoint not in HELPER_PAGES:
        return False
    if "trial_id" in view_args:
        trial_id = int(str(view_args["trial_id"]))
        return queries.test_of_poured_trial(reading(), trial_id) == test_id
    return view_args.get("test_id") == test_id


def remember(response: Response, secret: str) -> Response:
    """Give a device the secret it is known by. Not Secure: the home network has plain http."""
    response.set_cookie(
        _cookie(),
        secret,
        max_age=COOKIE_LIFE_S,
        httponly=True,
        samesite="Lax",
        secure=request.is_secure,
    )
    return response


def _device() -> KnownDevice | None:
    secret = request.cookies.get(_cookie(), "")
    return queries.device_known_by(reading(), hash_secret(secret)) if secret else None


def _cookie() -> str:
    return f"{current_app.config['SESSION_COOKIE_NAME']}_device"


def _is_bare_file() -> bool:
    return request.endpoint == "static" and (request.view_args or {})["filename"] in BARE_FILES


def _refuse_helper(test_id: int) -> Refusal | None:
    if not helper_may(request.endpoint, request.view_args or {}, test_id):
        return _refuse(NOT_FOR_HELPERS)
    over = request.endpoint != "static" and not takes_helpers(reading(), test_id)
    return _refuse(HELPED, over=True) if over else None


def _refuse(text: str, *, pairing: bool = False, over: bool = False) -> Refusal:
    page = render_template("devices/refused.html", saying=text, pairing=pairing, over=over)
    return page, 403
