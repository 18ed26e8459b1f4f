"""Sheets of a question's page: all pieces of its evidence, who asked it, and what can be added."""

from flask import Blueprint, abort, render_template, request
from sqlalchemy.orm import Session

from app.journal import questions
from app.journal.asks.reading import asks_under
from app.journal.gathered.evidence import Gathered, gather
from app.journal.gathered.within import within_of
from app.journal.paging import placed
from app.models import Question
from app.questions.offered import offered
from app.questions.pieces import A_SHEET, Pieces, sheet_of
from app.web import clock
from app.web.fields import number_or_none
from app.web.formats import formats
from app.web.session import reading

pages = Blueprint("pieces", __name__, url_prefix="/questions")


def _question(session: Session, question_id: int) -> Question:
    return session.get(Question, question_id) or abort(404)


def _found(session: Session, question: Question) -> Gathered:
    return gather(session, question, formats(), clock.now())


def _start() -> int:
    return number_or_none(request.args.get("from")) or 0


@pages.get("/<id:question_id>/blind-tests")
def blind_tests(question_id: int) -> str:
    return _sheet(question_id, "blind_tests")


@pages.get("/<id:question_id>/side-by-sides")
def side_by_sides(question_id: int) -> str:
    return _sheet(question_id, "side_by_sides")


@pages.get("/<id:question_id>/brews")
def brews(question_id: int) -> str:
    return _sheet(question_id, "brews")


def _sheet(question_id: int, kind: Pieces) -> str:
    session = reading()
    question = _question(session, question_id)
    try:
        sheet = sheet_of(_found(session, question), kind, _start())
    except LookupError:
        abort(404)
    return render_template(
        "questions/sheet.html",
        question=question,
        kind=kind,
        title=kind.replace("_", " ").capitalize(),
        sheet=sheet,
    )


@pages.get("/<id:question_id>/asks")
def asks(question_id: int) -> str:
    """Everybody who asked it; and the tap that puts all of them under another question."""
    session = reading()
    question = _question(session, question_id)
    every = asks_under(session, question_id)
    try:
        sheet = placed(every, _start(), A_SHEET)
    except LookupError:
        abort(404)
    return render_template(
        "questions/asked.html",
        question=question,
        sheet=sheet,
        every=every,
        others=[one for one in questions.open_questions(session) if one[0] != question_id],
    )


@pages.get("/<id:question_id>/add")
def add(question_id: int) -> str:
    session = reading()
    question = _question(session, question_id)
    choices = offered(session, question_id, formats())
    return render_template("questions/add.html", question=question, offered=choices)


@pages.get("/<id:question_id>/within")
def within(question_id: int) -> str:
    """Where each limit of the answer comes from."""
    session = reading()
    question = _question(session, question_id)
    found = _found(session, question)
    limits = within_of(session, question, found)
    return render_template("questions/within.html", question=question, found=found, within=limits)
