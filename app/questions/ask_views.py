"""Pages of asks: one ask, the inbox, pasting many, and gathering them under questions."""

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.journal.bin import put_in_bin, take_from_bin
from app.journal.history import Thing
from app.journal.questions import open_questions
from app.models import Ask
from app.questions.ask_forms import form_of
from app.web import clock
from app.web.changing import edited
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
    """The page of its question; of the inbox, where it is under none."""
    if ask.question_id:
        return url_for("questions.show", question_id=ask.question_id)
    return url_for("questions.index")


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
