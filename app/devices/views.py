"""Devices: making a pairing code and unpairing here, being paired there, a guest's first page."""

from re import fullmatch

from flask import Blueprint, abort, flash, g, redirect, render_template, request, url_for
from flask import session as browser_session
from werkzeug.wrappers import Response

from app.devices import gate, opening, queries, saving
from app.devices.forms import GuestForm, PairForm
from app.devices.pairing import LetIn, NotLetIn, let_in_by
from app.devices.queries import GuestTrial, Seat
from app.journal.blind.told import NamedTest, named_tests, titles_in_words
from app.journal.rows import rows_as
from app.models import BlindTest
from app.web import clock, codes, qr, shared_codes
from app.web.bodies import takes_up_to
from app.web.codes import pairing_addresses
from app.web.formats import formats
from app.web.helper_codes import helper_codes
from app.web.ids import IdConverter
from app.web.network import MEANS, network
from app.web.session import reading, writing

pages = Blueprint("devices", __name__)

Answer = str | Response | tuple[str, int]
MOST_PAIRING_BYTES = 4096

CLOSED = "No phone can reach this journal now: it was opened for this machine only."


@pages.get("/devices/")
def index() -> str:
    return _index(GuestForm())


@pages.post("/devices/open")
def open_up() -> Response:
    """Let phones reach this machine; asked for by a trial's page too, which is shown again."""
    try:
        opening.open_up()
        flash("Open to phones.")
    except opening.NotOpened as why:
        flash(str(why), "error")
    trial_id = request.form.get("trial_id", "")
    if fullmatch(IdConverter.regex, trial_id):
        return redirect(url_for("blind.trial", trial_id=int(trial_id)), 303)
    return redirect(url_for(".index"), 303)


@pages.post("/devices/close")
def close_up() -> Response:
    try:
        opening.close_up()
        flash("Closed: no phone reaches this journal any more.")
    except opening.NotOpened as why:
        flash(str(why), "error")
    return redirect(url_for(".index"), 303)


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
    with shared_codes.held():
        voided = helper_codes().cancel_all()
        with writing(keyed=False) as session:
            voided += saving.void_codes(session)
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
    paired = _let_in(form) if form.validate() else None
    if paired is None:
        return render_template("devices/pair.html", form=form), 422
    if not paired.secret:
        flash("This device opens the whole journal already, so it can pour as it is.")
        return redirect(paired.first, 303)
    browser_session.clear()  # nothing that was planted before counts after
    flash("This device is paired.")
    return gate.remember(redirect(paired.first, 303), paired.secret)


def _let_in(form: PairForm) -> LetIn | None:
    """Let the device in by the code of the form, or say beside it why not."""
    try:
        return let_in_by(form.code.data or "", form.name.data or "", g.device)
    except NotLetIn as why:
        form.code.errors = [str(why)]
        return None


@pages.get("/guest")
def guest() -> Answer:
    """The first page of a guest: the taster's own trials of the one test."""
    if g.device is None:
        return redirect(url_for(".index"), 303)
    session, own = reading(), (g.device.guest_of_test_id, g.device.guest_taster_id)
    trials = queries.trials_for_guest(session, *own)
    return render_template(
        "devices/guest.html", seat=queries.seat_of(session, *own), trials=trials,
        state=_state(trials),
    )  # fmt: skip


@pages.get("/guest/state")
def guest_state() -> Answer:
    """What the guest's page watches: which trials there are, and whether they are served."""
    if g.device is None:
        return redirect(url_for(".index"), 303)
    own = (g.device.guest_of_test_id, g.device.guest_taster_id)
    return Response(_state(queries.trials_for_guest(reading(), *own)), mimetype="text/plain")


def _state(trials: list[GuestTrial]) -> str:
    """As short as can be; nothing of a key is in a GuestTrial."""
    how = [
        f"{one.id}{'s' if one.served_at else ''}{'a' if one.answered_at else ''}" for one in trials
    ]
    return "trials " + "-".join(how)


def _index(form: GuestForm) -> str:
    session = reading()
    _offer_seats(form)
    count, runs_out = queries.open_codes(session, clock.now())
    helpers = [one.runs_out for one in helper_codes().open_at(clock.now()).values()]
    addresses = pairing_addresses()
    return render_template(
        "devices/index.html",
        devices=queries.paired(session),
        form=form,
        open_codes=count + len(helpers),
        runs_out=max([*helpers, *([runs_out] if runs_out else [])], default=None),
        voided_at=codes.tries().voided_at,
        addresses=addresses,
        drawing=qr.draw(addresses[0]) if addresses else "",
        can_switch=network() is not None,
        opening_means=MEANS,
        moved_away=opening.moved_away(),
        closed=CLOSED,
        zone=clock.browser_zone(),
    )


def _offer_seats(form: GuestForm) -> dict[int, Seat]:
    session = reading()
    seats = {seat.id: seat for seat in queries.seats(session)}
    of_seats = named_tests().where(BlindTest.id.in_({seat.test_id for seat in seats.values()}))
    titles = dict(titles_in_words(rows_as(NamedTest, session, of_seats), formats()))
    form.seat_id.pick_from(
        [(key, f"{seat.name}: {titles[seat.test_id]}") for key, seat in seats.items()]
    )
    return seats


def _new_code(seat: Seat | None) -> Answer:
    """Show a new code, this once: afterwards only its hash is known."""
    addresses = pairing_addresses()
    if not addresses:
        flash(CLOSED, "error")
        return redirect(url_for(".index"), 303)
    now = clock.now()
    with shared_codes.held():
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
