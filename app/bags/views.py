"""Pages of bags: the list, the review of one bag, adding and changing."""

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from app.bags import lists, queries
from app.bags.as_table import BAG_COLUMNS, SERIES_COLUMNS, cups_scored, every_bag
from app.bags.cups import MOST_NUMBERED, brews_left
from app.bags.forms import (
    BEAN_FIELDS,
    BagForm,
    CorrectionForm,
    FrozenForm,
    NewBagForm,
    VerdictForm,
    form_values,
)
from app.journal import saving_bags as saving
from app.journal.bags import frozen_spans
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.blind.evidence import blind_evidence_of
from app.journal.changes.advice import advice
from app.journal.history import Thing
from app.journal.rest import rest_on
from app.journal.settings import last_currency
from app.models import Bag
from app.models.beans import BUY_AGAIN
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.assets import show_charts
from app.web.changing import Edited, edited, noting
from app.web.fields import clean_text, number_or_none
from app.web.session import reading, saved_at, writing
from app.web.what_to_change import shown

pages = Blueprint("bags", __name__, url_prefix="/bags")

Answer = str | Response | tuple[str, int]


@pages.get("/")
def index() -> Answer:
    session, today = reading(), clock.today()
    words = clean_text(request.args.get("q"))[:200]
    again = asked if (asked := request.args.get("again")) in BUY_AGAIN else ""
    wanted = lists.Wanted(lists.beans_matching(session, words), again)
    if asked_as_table():
        return as_table("bags", BAG_COLUMNS, every_bag(session, wanted))
    bags = lists.open_list(session, wanted)
    ids = [bag.id for bag in bags[: lists.MOST_OPEN]]
    doses, spans = lists.latest_doses(session, ids), frozen_spans(session, ids)
    return render_template(
        "bags/index.html",
        words=words,
        again=again,
        verdicts=BUY_AGAIN,
        bags=bags[: lists.MOST_OPEN],
        more_open=len(bags) > lists.MOST_OPEN,
        left={bag.id: brews_left(bag.left_g, doses.get(bag.id, ())) for bag in bags},
        rests={bag.id: rest_on(today, bag.roasted_on, spans.get(bag.id, ())) for bag in bags},
        finished=lists.finished_page(session, wanted, request.args),
    )


@pages.get("/<id:bag_id>")
def show(bag_id: int) -> Answer:
    from app.bags.review import MOST_BREWS, review

    session = reading()
    bag = queries.bag_page(session, bag_id) or abort(404)
    if asked_as_table():
        cups = cups_scored(session, bag_id, MOST_BREWS)
        return as_table(f"bag-{bag_id}", SERIES_COLUMNS, cups)
    reviewed = review(session, bag, clock.today(), number_or_none(request.args.get("taster")))
    if reviewed.charts:
        show_charts()
    return render_template(
        "bags/show.html",
        bag=bag,
        review=reviewed,
        most_numbered=MOST_NUMBERED,
        verdicts=BUY_AGAIN,
        what=shown(advice(session, "bag", bag_id, reviewed.scored.taster_id)),
        what_url=url_for("changes.bag", bag_id=bag_id),
        blind_evidence=blind_evidence_of(session, clock.now(), bag_id=bag_id),
    )


@pages.get("/new")
def new() -> str:
    session = reading()
    wanted = number_or_none(request.args.get("bean"))
    form = NewBagForm(data={"bean_id": wanted, "currency": last_currency(session, Bag)})
    known = queries.known_beans(session, wanted)
    form.bean_id.pick_from(known, none="A new bean")
    if wanted not in dict(known):
        form.bean_id.data = None
    return render_template("bags/new.html", form=form)


@pages.post("/new")
def create() -> Answer:
    form = NewBagForm(request.form)
    known = queries.known_beans(reading(), form.bean_id.data)
    form.bean_id.pick_from(known, none="A new bean")
    if not form.validate():
        return render_template("bags/new.html", form=form), 422
    with writing() as session:
        bean = form.bean_id.data or form.bean_values()
        bag = saving.add_bag(session, form.bag_values(), bean)
        saved_at(session, url_for(".show", bag_id=bag.id))
    return _to_bag(bag.id, "Bag saved.")


@pages.route("/<id:bag_id>/edit", methods=["GET", "POST"])
def edit(bag_id: int) -> Answer:
    bag = queries.bag_page(reading(), bag_id) or abort(404)
    edit = _edited(bag)
    form = edit.opened()
    if request.method != "POST" or not form.validate():
        return _edit_page(bag, form=form)
    with edit.saving(form, to=url_for(".show", bag_id=bag_id)) as session:
        bag = session.get(Bag, bag_id) or abort(404)
        saving.change_bag(session, bag, form.bag_values(), form.bean_values())
    return _to_bag(bag_id, "Changes saved.")


@pages.post("/<id:bag_id>/finish")
def finish(bag_id: int) -> Response:
    with writing(to=_url(bag_id)) as session:
        bag = queries.bag_page(session, bag_id) or abort(404)
        with noting(session, Thing("bag", bag_id), "finished", lambda: _filled(bag)):
            saving.finish(bag, clock.today())
    return _to_bag(bag_id, "The bag is finished.")


@pages.post("/<id:bag_id>/reopen")
def reopen(bag_id: int) -> Response:
    with writing(to=_url(bag_id)) as session:
        bag = queries.bag_page(session, bag_id) or abort(404)
        with noting(session, Thing("bag", bag_id), "opened again", lambda: _filled(bag)):
            bag.finished_on = None
    return _to_bag(bag_id, "The bag is open again.")


@pages.post("/<id:bag_id>/verdict")
def verdict(bag_id: int) -> Response:
    form = VerdictForm(request.form)
    if not form.validate():
        return _to_bag(bag_id, "Please choose one of the verdicts.", "error")
    with writing(to=_url(bag_id)) as session:
        bag = queries.bag_page(session, bag_id) or abort(404)
        with noting(session, Thing("bag", bag_id), "verdict", lambda: _filled(bag)):
            bag.buy_again = form.buy_again.data
    said = bag.buy_again or "no verdict"
    return _to_bag(bag_id, f"Buy it again: {said}.")


@pages.post("/<id:bag_id>/bin")
def bin(bag_id: int) -> Response:
    with writing(to=_url(bag_id)) as session:
        put_in_bin(session.get(Bag, bag_id) or abort(404), clock.now())
    return _to_bag(bag_id, "The bag is in the bin; its brews stay in the journal.")


@pages.post("/<id:bag_id>/restore")
def restore(bag_id: int) -> Response:
    with writing(to=_url(bag_id)) as session:
        take_from_bin(session.get(Bag, bag_id) or abort(404))
    return _to_bag(bag_id, "The bag is back.")


@pages.post("/<id:bag_id>/frozen")
def freeze(bag_id: int) -> Answer:
    bag = queries.bag_page(reading(), bag_id) or abort(404)
    form = FrozenForm(request.form)
    if not form.validate():
        return _edit_page(bag, frozen=form)
    with writing(to=url_for(".edit", bag_id=bag_id)) as session:
        saving.freeze(session, bag_id, form.from_on.data, form.to_on.data)
    return _to_edit(bag_id, "Days in the freezer noted.")


@pages.post("/<id:bag_id>/frozen/<id:span_id>/end")
def thaw(bag_id: int, span_id: int) -> Response:
    with writing() as session:
        span = saving.span_of(session, bag_id, span_id) or abort(404)
        if span.binned_at is None:
            span.to_on = max(clock.today(), span.from_on)
    if span.binned_at is not None:
        return _to_edit(bag_id, "Those days in the freezer are in the bin.", "error")
    return _to_edit(bag_id, "Out of the freezer.")


@pages.post("/<id:bag_id>/frozen/<id:span_id>/remove")
def remove_span(bag_id: int, span_id: int) -> Response:
    with writing() as session:
        put_in_bin(saving.span_of(session, bag_id, span_id) or abort(404), clock.now())
    return _to_edit(bag_id, "Those days in the freezer are in the bin.")


@pages.post("/<id:bag_id>/frozen/<id:span_id>/restore")
def restore_span(bag_id: int, span_id: int) -> Response:
    with writing() as session:
        take_from_bin(saving.span_of(session, bag_id, span_id) or abort(404))
    return _to_edit(bag_id, "Those days in the freezer are back.")


@pages.post("/<id:bag_id>/corrections")
def correct(bag_id: int) -> Answer:
    bag = queries.bag_page(reading(), bag_id) or abort(404)
    form = CorrectionForm(request.form)
    if not form.validate():
        return _edit_page(bag, correction=form)
    with writing(to=url_for(".edit", bag_id=bag_id)) as session:
        why, noted_on = form.why.data or "", form.noted_on.data
        saving.correct(session, bag_id, form.signed_g(), why, noted_on)
    return _to_edit(bag_id, "Correction noted.")


@pages.post("/<id:bag_id>/corrections/<id:correction_id>/remove")
def remove_correction(bag_id: int, correction_id: int) -> Response:
    with writing() as session:
        put_in_bin(saving.correction_of(session, bag_id, correction_id) or abort(404), clock.now())
    return _to_edit(bag_id, "The correction is in the bin.")


@pages.post("/<id:bag_id>/corrections/<id:correction_id>/restore")
def restore_correction(bag_id: int, correction_id: int) -> Response:
    with writing() as session:
        take_from_bin(saving.correction_of(session, bag_id, correction_id) or abort(404))
    return _to_edit(bag_id, "The correction is back.")


def _edited(bag: Bag) -> Edited[BagForm]:
    """A bag's form changes its bean too, which other bags may share."""
    own, bean = Thing("bag", bag.id), Thing("bean", bag.bean_id)
    return edited(_filled(bag), own, bean, fields_of={bean: BEAN_FIELDS})


def _filled(bag: Bag) -> BagForm:
    return BagForm(data=form_values(bag, bag.bean))


def _edit_page(
    bag: Bag,
    form: BagForm | None = None,
    frozen: FrozenForm | None = None,
    correction: CorrectionForm | None = None,
) -> Answer:
    """The page of a bag's forms: the one that was sent as it was, the others unchanged."""
    today = {"from_on": clock.today(), "noted_on": clock.today()}
    page = render_template(
        "bags/edit.html",
        bag=bag,
        form=form or _edited(bag).stands,
        frozen=frozen or FrozenForm(data=today),
        correction=correction or CorrectionForm(data=today),
    )
    return page, 422 if request.method == "POST" else 200


def _url(bag_id: int) -> str:
    return url_for("bags.show", bag_id=bag_id)


def _to_bag(bag_id: int, message: str, kind: str = "message") -> Response:
    flash(message, kind)
    return redirect(_url(bag_id), 303)


def _to_edit(bag_id: int, message: str, kind: str = "message") -> Response:
    flash(message, kind)
    return redirect(url_for("bags.edit", bag_id=bag_id), 303)
