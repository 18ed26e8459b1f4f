"""Pages of questions: the list, asking one, and one with its evidence and its answer."""

from flask import flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.journal.bin import put_in_bin, take_from_bin
from app.journal.questions import add_question, tie, write_answer
from app.models import Question
from app.questions import export, queries, sources, tie_views
from app.questions.evidence import gather
from app.questions.forms import AnswerForm, QuestionForm, thing_of
from app.questions.offered import offered
from app.questions.pages import pages, question_or_404
from app.sensory.gathered.words import LEVELS
from app.web import clock
from app.web.fields import clean_text
from app.web.formats import formats
from app.web.session import reading, writing

Answer = str | Response | tuple[str, int]


@pages.get("/")
def index() -> str:
    session = reading()
    words = clean_text(request.args.get("q"))[:200]
    ids = queries.ids_with_words(session, words)
    answered = queries.answered_page(session, ids, request.args)
    still_open = [] if answered.newer else queries.open_list(session, ids)
    return render_template(
        "questions/index.html",
        words=words,
        questions=still_open[: queries.MOST_OPEN],
        more_open=len(still_open) > queries.MOST_OPEN,
        answered=answered,
        levels=LEVELS,
        zone=clock.browser_zone(),
    )


@pages.get("/rule")
def rule() -> str:
    """The rule that grades the evidence; the address is linked to from outside."""
    return render_template("questions/rule.html", levels=LEVELS)


@pages.get("/new")
def new() -> str:
    form = QuestionForm(data={name: request.args.get(name, "") for name in ("kind", "row_id")})
    return render_template("questions/form.html", form=form, question=None)


@pages.post("/new")
def create() -> Answer:
    form = QuestionForm(request.form)
    if not form.validate():
        return render_template("questions/form.html", form=form, question=None), 422
    about = thing_of(form)
    with writing() as session:
        question = add_question(session, form.text.data or "", form.factor.data, clock.now())
        if about and queries.exists(session, *about):
            tie(session, question.id, *about)
    return _to(question.id, "The question is asked. Gather what speaks to it.")


@pages.get("/<id:question_id>")
def show(question_id: int) -> str:
    session = reading()
    question = question_or_404(session, question_id)
    form = AnswerForm(data={"answer": question.answer, "state": question.state})
    return _page(session, question, form)


@pages.post("/<id:question_id>/answer")
def answer(question_id: int) -> Answer:
    session, form = reading(), AnswerForm(request.form)
    question = question_or_404(session, question_id)
    if not form.validate():
        return _page(session, question, form), 422
    with writing() as session:
        saved = session.get_one(Question, question_id)
        write_answer(saved, form.answer.data or "", form.state.data, clock.now())
    state = form.state.data
    return _to(question_id, f"Answer saved; the question is {state}.")


@pages.get("/<id:question_id>/edit")
def edit(question_id: int) -> str:
    question = question_or_404(reading(), question_id)
    form = QuestionForm(data={"text": question.text, "factor": question.factor})
    return render_template("questions/form.html", form=form, question=question)


@pages.post("/<id:question_id>/edit")
def change(question_id: int) -> Answer:
    question, form = question_or_404(reading(), question_id), QuestionForm(request.form)
    if not form.validate():
        return render_template("questions/form.html", form=form, question=question), 422
    with writing() as session:
        saved = session.get_one(Question, question_id)
        saved.text, saved.factor = form.text.data or "", form.factor.data
    return _to(question_id, "Changes saved.")


@pages.post("/<id:question_id>/bin")
def bin(question_id: int) -> Response:
    with writing() as session:
        put_in_bin(question_or_404(session, question_id), clock.now())
    return _to(question_id, "The question is in the bin; its evidence stays.")


@pages.post("/<id:question_id>/restore")
def restore(question_id: int) -> Response:
    with writing() as session:
        take_from_bin(question_or_404(session, question_id))
    return _to(question_id, "The question is back.")


@pages.get("/<id:question_id>/export.json")
def export_json(question_id: int) -> Response:
    text = export.as_json(reading(), question_or_404(reading(), question_id), clock.now())
    return _download(text, "application/json", f"question-{question_id}.json")


@pages.get("/<id:question_id>/export.csv")
def export_csv(question_id: int) -> Response:
    text = export.as_csv(reading(), question_or_404(reading(), question_id), clock.now())
    return _download(text, "text/csv", f"question-{question_id}.csv")


def _page(session: Session, question: Question, form: AnswerForm) -> str:
    gathered = gather(session, question, formats())
    return render_template(
        "questions/show.html",
        question=question,
        form=form,
        found=gathered,
        sources=sources.sources_of(gathered),
        offered=offered(session, question.id, formats()),
        zone=clock.browser_zone(),
        now=clock.now(),
    )


def _to(question_id: int, message: str) -> Response:
    flash(message)
    return redirect(url_for(".show", question_id=question_id), 303)


def _download(text: str, mimetype: str, name: str) -> Response:
    disposition = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(text, mimetype=mimetype, headers=disposition)


__all__ = ["pages", "tie_views"]
