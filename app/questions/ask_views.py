"""Pages of asks: one ask, the inbox, pasting many, and gathering them under questions."""

from collections.abc import Sequence

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.journal.asks import saving
from app.journal.asks.inbox import factors_of, read_inbox
from app.journal.asks.reading import texts_of
from app.journal.asks.saving import AskValues, add_new_asks, last_gathering
from app.journal.asks.sheets import sheets_of
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.history import Thing
from app.journal.questions import add_question, open_questions
from app.models import Ask, Question
from app.questions.as_table import ASK_COLUMNS, every_ask
from app.questions.ask_forms import GatherForm, Refused, asks_sent, form_of, noted
from app.questions.going_back import Place, place_of, sheet_again
from app.questions.pasting import PasteForm
from app.sensory.gathered.words import counted
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.changing import edited
from app.web.fields import number_or_none
from app.web.session import reading, writing

pages = Blueprint("asks", __name__, url_prefix="/questions/asks")

Answer = str | Response | tuple[str, int]


def ask_or_404(session: Session, ask_id: int) -> Ask:
    return session.get(Ask, ask_id) or abort(404)


@pages.route("/<id:ask_id>", methods=["GET", "POST"])
def edit(ask_id: int) -> Answer:
    session = reading()
    ask = ask_or_404(session, ask_id)
    edit = edited(form_of(ask), Thing("ask", ask_id))
    form, sent = edit.opened(), request.method == "POST"
    choices = open_questions(session, also=ask.question_id)
    for each in (form, edit.stands):
        each.question_id.pick_from(choices, none="none yet: in the inbox")
    if not sent or not form.validate():
        page = render_template("questions/ask.html", form=form, ask=ask)
        return page, 422 if sent else 200
    with edit.saving(form, to=_back(ask)) as session:
        saved = session.get_one(Ask, ask_id)
        saved.text, saved.asked_on = form.text.data or "", form.asked_on.data or saved.asked_on
        saved.source, saved.question_id = form.source.data or "", form.question_id.data
    flash("Changes saved.")
    return redirect(_back(saved), 303)


def _back(ask: Ask) -> str:
    """The page of its question; the inbox, where it is under none."""
    if ask.question_id:
        return url_for("questions.show", question_id=ask.question_id)
    return url_for(".index")


@pages.post("/<id:ask_id>/bin")
def bin(ask_id: int) -> Response:
    with writing() as session:
        put_in_bin(ask := ask_or_404(session, ask_id), clock.now())
    flash("The ask is in the bin.")
    return redirect(_back(ask), 303)


@pages.post("/<id:ask_id>/restore")
def restore(ask_id: int) -> Response:
    with writing() as session:
        take_from_bin(ask := ask_or_404(session, ask_id))
    flash("The ask is back.")
    return redirect(_back(ask), 303)


@pages.get("/")
def index() -> Answer:
    if asked_as_table():
        return as_table("asks", ASK_COLUMNS, every_ask(reading()))
    return _inbox(place_of(request.args))


def _inbox(place: Place, refused: Refused | None = None) -> str:
    session = reading()
    inbox, others = read_inbox(session, place.before), open_questions(session)
    sheets = sheets_of(inbox, len(others))
    if place.number > len(sheets) and not refused:
        abort(404)
    number = min(place.number, len(sheets))
    return render_template(
        "questions/inbox.html",
        inbox=inbox,
        sheet=sheets[number - 1],
        place=Place(number, place.before),
        newer=place.newer(),
        older=place.older(len(sheets), inbox.older),
        last=last_gathering(session),
        others=others,
        refused=refused,
    )


def _inbox_again() -> str:
    """Where the form was sent from; the last sheet, where there are fewer by now."""
    place = place_of(request.form)
    if place.number > 1:
        session = reading()
        inbox, choices = read_inbox(session, place.before), open_questions(session)
        last = len(sheets_of(inbox, len(choices)))
        place = Place(min(place.number, last), place.before)
    return place.address()


@pages.route("/new", methods=["GET", "POST"])
def new() -> Answer:
    sent = request.method == "POST"
    form = PasteForm(
        request.form if sent else None, data={"asked_on": clock.today(), "own_days": True}
    )
    if not sent or not form.validate():
        return render_template("questions/paste.html", form=form), 422 if sent else 200
    now, source, lines = clock.now(), form.source.data or "", form.lines
    day = form.asked_on.data or clock.today()
    with writing(to=url_for(".index")) as session:
        added = add_new_asks(
            session, [AskValues(line.text, line.day or day, source, now) for line in lines]
        )
    flash(noted(len(added), len(lines) - len(added)))
    return redirect(url_for(".index"), 303)


@pages.post("/gather")
def gather() -> Answer:
    """Put asks under one question: one that is there, or a new one in the words given."""
    form = GatherForm(request.form)
    texts = texts_of(reading(), form.ask_ids)
    form.suggests(texts)
    if not form.validate():
        return _inbox(place_of(request.form), form.refused()), 422
    try:
        with writing(to=url_for(".index")) as session:
            question_id = form.question_id.data or _new_question(session, form.words, texts)
            if session.get(Question, question_id) is None:
                raise LookupError(question_id)
            moved = saving.gather(session, form.ask_ids, question_id)
    except LookupError:
        abort(404)
    flash(f"{counted(len(moved), 'ask')} gathered.")
    return redirect(_inbox_again(), 303)


def _new_question(session: Session, text: str, asked: Sequence[str]) -> int:
    return add_question(session, text, factors_of(asked), clock.now()).id


@pages.post("/take-back")
def take_back() -> Response:
    """Undo the last gathering of these asks."""
    with writing(to=url_for(".index")) as session:
        count = saving.take_back(session, asks_sent())
    flash(f"{counted(count, 'ask')} taken back.")
    return redirect(_inbox_again(), 303)


@pages.post("/release")
def release() -> Response:
    """Send asks back to the inbox."""
    back = url_for(".index")
    question_id = number_or_none(request.form.get("question_id"))
    if question_id and request.form.get("back") == "sheet":
        back = sheet_again("asks", question_id)
    elif question_id:
        back = url_for("questions.show", question_id=question_id)
    with writing(to=back) as session:
        moved = saving.gather(session, asks_sent(), None, saving.RELEASED)
    flash(f"{counted(len(moved), 'ask')} sent back to the inbox.")
    return redirect(back, 303)
