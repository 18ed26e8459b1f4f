"""Devices: making a pairing code and unpairing here, being paired there, a guest's first page."""

from flask import (
    Blueprint,
    abort,
    current_app,
    flash,
    g,
    redirect,
    render_template,
    request,
    url_for,
)
from flask import session as browser_session
from werkzeug.wrappers import Response

from app.config import Config
from app.devices import codes, gate, qr, queries, saving
from app.devices.forms import GuestForm, PairForm
from app.devices.queries import Seat
from app.web import clock
from app.web.bodies import takes_up_to
from app.web.session import reading, writing

pages = Blueprint("devices", __name__)

Answer = str | Response | tuple[str, int]
MOST_PAIRING_BYTES = 4096

WRONG_CODE = (
    "This code does not work. It may be mistyped, used, older than ten minutes, or of a test that "
    "has ended; "
    "a new one can be made on the journal’s own machine."
)
CLOSED = "No phone can reach this journal now: it was opened for this machine only."


@pages.get("/devices/")
def index() -> str:
    return _index(GuestForm())


@pages.post("/devices/codes")
def make_code() -> Answer:
    """A code for a device of the household."""
    return _new_code(None)


@pages.post("/devices/guest-codes")
def make_guest_code() -> Answer:
    """A code for a taster's own device: it opens that taster's pages of that test only."""
    form = GuestForm(request.form)
    seats = _offer_seats(form)
    return _new_code(seats[form.seat_id.data]) if form.validate() else (_index(form), 422)


@pages.post("/devices/codes/void")
def void_codes() -> Response:
    with writing(keyed=False) as session:
        voided = saving.void_codes(session)
    flash("No code pairs a device now." if voided else "No code was open.")
    return redirect(url_for(".index"), 303)


@pages.post("/devices/<id:device_id>/unpair")
def unpair(device_id: int) -> Response:
    name = queries.name_of(reading(), device_id) or abort(404)
    with writing(keyed=False) as session:
        saving.unpair(session, device_id, clock.now())
    flash(f"{name} is unpaired and sees nothing more.")
    return redirect(url_for(".index"), 303)


@pages.get("/pair")
def pair() -> Answer:
    """The form on the device. It does not tell whether a code is right: only sending counts."""
    if gate.from_this_machine():
        return redirect(url_for(".index"), 303)
    given = {"code": request.args.get("code", "")[:20], "name": "Phone"}
    return render_template("devices/pair.html", form=PairForm(data=given))


@pages.post("/pair")
@takes_up_to(MOST_PAIRING_BYTES)
def pair_now() -> Answer:
    if gate.from_this_machine():
        return redirect(url_for(".index"), 303)
    form = PairForm(request.form)
    paired = _use_code(form.code.data or "", form.name.data or "") if form.validate() else None
    if paired is None:
        if not form.errors:
            form.code.errors = [WRONG_CODE]
        return render_template("devices/pair.html", form=form), 422
    secret, test_id = paired
    browser_session.clear()  # nothing that was planted before counts after
    flash("This device is paired.")
    first = url_for(".guest") if test_id else url_for("today.index")
    return gate.remember(redirect(first, 303), secret)


@pages.get("/guest")
def guest() -> Answer:
    """The first page of a guest: the taster's own trials of the one test."""
    if g.device is None:
        return redirect(url_for(".index"), 303)
    session, own = reading(), (g.device.guest_of_test_id, g.device.guest_taster_id)
    return render_template(
        "devices/guest.html",
        seat=queries.seat_of(session, *own),
        trials=queries.trials_for_guest(session, *own),
    )


def _index(form: GuestForm) -> str:
    session = reading()
    _offer_seats(form)
    count, runs_out = queries.open_codes(session, clock.now())
    return render_template(
        "devices/index.html",
        devices=queries.paired(session),
        form=form,
        open_codes=count,
        runs_out=runs_out,
        voided_at=codes.tries().voided_at,
        addresses=_addresses(),
        closed=CLOSED,
        zone=clock.browser_zone(),
    )


def _offer_seats(form: GuestForm) -> dict[int, Seat]:
    seats = {seat.id: seat for seat in queries.seats(reading())}
    form.seat_id.pick_from([(key, f"{seat.name}: {seat.title}") for key, seat in seats.items()])
    return seats


def _new_code(seat: Seat | None) -> Answer:
    """Show a new code, this once: afterwards only its hash is known."""
    addresses = _addresses()
    if not addresses:
        flash(CLOSED, "error")
        return redirect(url_for(".index"), 303)
    now = clock.now()
    with codes.tries().lock:
        with writing(keyed=False) as session:
            code = saving.add_code(session, now, seat)
        codes.tries().reset()
    return render_template(
        "devices/code.html",
        code=codes.write_code(code),
        drawing=qr.draw(f"{addresses[0]}?code={code}"),
        addresses=addresses,
        runs_out=now + codes.CODE_LIFE,
        seat=seat,
        zone=clock.browser_zone(),
    )


def _use_code(typed: str, name: str) -> tuple[str, int | None] | None:
    """Pair by a code: the device's secret and its test, or nothing and one more wrong try."""
    tries, now = codes.tries(), clock.now()
    code_hash = codes.hash_code(codes.read_code(typed))
    former = g.device.id if g.device else None
    with tries.lock:
        if queries.is_open(reading(), code_hash, now):
            with writing(keyed=False) as session:
                paired = saving.pair(session, code_hash, name, now, former)
            if paired:
                secret, device = paired
                return secret, device.guest_of_test_id
        tries.wrong += 1
        if tries.wrong >= codes.MOST_WRONG and queries.open_codes(reading(), now)[0]:
            with writing(keyed=False) as session:
                tries.voided_at = now if saving.void_codes(session) else tries.voided_at
    return None


def _addresses() -> list[str]:
    """The pairing page as other devices on the network reach it."""
    config: Config = current_app.config["JOURNAL"]
    hosts = current_app.config["LAN_ADDRESSES"]
    return [f"http://{host}:{config.port}{url_for('.pair')}" for host in hosts]
