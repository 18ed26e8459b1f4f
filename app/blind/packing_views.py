"""Packing ahead: what goes into each coded packet, for the browser that packs and nobody else."""

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from app.blind.at_the_table import PouredCup
from app.blind.browser import known_browser, remember, who
from app.blind.cups import cups_of
from app.blind.forms import PacketsForm
from app.blind.pages import Answer, pages, step, test_or_404, to_test
from app.journal.blind import packets
from app.web import clock
from app.web.session import reading


@pages.get("/<id:test_id>/packets")
def packets_page(test_id: int) -> str:
    return _page(test_id, PacketsForm())


@pages.post("/<id:test_id>/packets")
def pack(test_id: int) -> Answer:
    """Draw packets for this browser to fill; it gets a secret to know it by."""
    test_or_404(reading(), test_id)
    form = PacketsForm(request.form)
    if not form.validate():
        return _page(test_id, form), 422
    to = url_for(".packets_page", test_id=test_id)
    with step(test_id, to=to) as (session, test):
        why = packets.pack(session, test, who(), form.count.data or 0, clock.now())
    if why:
        flash(why, "error")
    return remember(redirect(to, 303))


@pages.post("/<id:test_id>/packets/cover")
def cover_packets(test_id: int) -> Response:
    """Everything is packed: the keys are covered until each answer."""
    test_or_404(reading(), test_id)
    with step(test_id, to=url_for(".show", test_id=test_id)) as (session, _):
        packets.cover(session, test_id, known_browser(), clock.now())
    return to_test(test_id)


def _page(test_id: int, form: PacketsForm) -> str:
    session = reading()
    test = test_or_404(session, test_id)
    mine = packets.packed_here(session, test_id, known_browser())
    return render_template(
        "blind/packets.html",
        test=test,
        cups=cups_of(session, test),
        form=form,
        why_not=packets.refused_packing(test),
        to_pack=[PouredCup("packet", *one) for one in mine],
        ready=packets.ready(session, test_id),
    )
