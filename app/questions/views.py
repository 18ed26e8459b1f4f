"""Pages of questions: the list, asking one, its evidence and answer, and tying things to it."""

from collections.abc import Mapping
from contextlib import suppress
from urllib.parse import urlencode

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from app.brewing.within.order import GROUPS, PUBLISHED
from app.brewing.within.untested import MOST
from app.journal import questions
from app.journal.asks.reading import asks_under, count_waiting
from app.journal.asks.saving import AskValues, add_asks
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.gathered.evidence import Gathered, gather
from app.journal.gathered.sources import sources_of
from app.journal.gathered.within import within_of
from app.journal.history import Thing
from app.journal.paging import ROWS_A_PAGE
from app.journal.pairs.setup import FAMILIES
from app.journal.repeating import beside_a_difference
from app.journal.sittings.reading import sitting_with_question
from app.models import Ask, Question
from app.questions import queries
from app.questions.as_table import QUESTION_COLUMNS, question_line
from app.questions.forms import AnswerForm, QuestionForm, TieForm, thing_of
from app.questions.going_back import back_to, sheet_again
from app.questions.pieces import few_asks, few_of
from app.sensory.gathered.words import LEVELS
from app.web import clock
from app.web.as_table import as_table, asked_as_table
from app.web.changing import Edited, edited, noting
from app.web.fields import clean_text, number_or_none
from app.web.formats import formats
from app.web.session import reading, saved_at, writing

pages = Blueprint("questions", __name__, url_prefix="/questions")

Answer = str | Response | tuple[str, int]

CHOOSE = "Please choose one from the list."


def question_or_404(session: Session, question_id: int) -> Question:
    return session.get(Question, question_id) or abort(404)


@pages.get("/")
def index() -> Answer:
    session = reading()
    kept = _kept(request.args)
    found = queries.read_list(session, queries.wanted(kept), clock.now())
    if asked_as_table():
        return as_table("questions", QUESTION_COLUMNS, map(question_line, found))
    start = min(number_or_none(request.args.get("from")) or 0, len(found))
    return render_template(
        "questions/index.html",
        parts=queries.parts(found[start : start + ROWS_A_PAGE], kept),
        more=len(found) > start + ROWS_A_PAGE,
        count=len(found),
        answered=any(one.state == "answered" for one in found),
        start=start,
        kept=kept,
        again={"back": "list"} | kept,
        states=queries.STATES,
        sorts=queries.SORTS,
        families=FAMILIES,
        once=_once_more(session),
        rows_a_page=ROWS_A_PAGE,
        levels=LEVELS,
        waiting=count_waiting(session),
        zone=clock.browser_zone(),
    )


def _kept(given: Mapping[str, str]) -> dict[str, str]:
    """How the list is narrowed and sorted, as its address says it."""
    values = {name: clean_text(given.get(name))[:200] for name in ("q", "state", "about", "sort")}
    return {name: value for name, value in values.items() if value}


def _once_more(session: Session) -> Ask | None:
    """The ask that was counted a moment ago, while it can be taken back."""
    number = number_or_none(request.args.get("once"))
    ask = session.get(Ask, number) if number else None
    return ask if ask and not ask.binned_at and not ask.text else None


@pages.get("/rule")
def rule() -> str:
    """The rule that grades the evidence; the address is linked to from outside."""
    return render_template("questions/rule.html", levels=LEVELS)


@pages.get("/limits")
def limits() -> str:
    """The rule that writes what an answer was tested within; linked to from outside, too."""
    return render_template("questions/limits.html", groups=GROUPS, published=PUBLISHED, most=MOST)


@pages.get("/new")
def new() -> str:
    form = QuestionForm(data={name: request.args.get(name, "") for name in ("kind", "row_id")})
    return _form_page(form)


@pages.post("/new")
def create() -> Answer:
    form = QuestionForm(request.form)
    if not form.validate():
        return _form_page(form), 422
    about = thing_of(form)
    with writing() as session:
        now, text = clock.now(), form.text.data or ""
        question = questions.add_question(session, text, form.factor.data or [], now)
        add_asks(session, [AskValues(text, clock.today(), "", now, question.id)])
        saved_at(
            session,
            url_for(".show", question_id=question.id),
            url_for(".edit", question_id=question.id),
        )
        with suppress(LookupError):  # where the thing is gone, the question stands alone
            if about:
                questions.tie(session, question.id, *about, now=clock.now())
    return _to(question.id, "The question is asked. Gather what speaks to it.")


@pages.get("/<id:question_id>")
def show(question_id: int) -> str:
    session = reading()
    question = question_or_404(session, question_id)
    return _page(session, question, _edited_answer(question).opened())


@pages.get("/<id:question_id>/answer")
def to_answer(question_id: int) -> Response:
    """The form of the answer stands on the question's page."""
    question_or_404(reading(), question_id)
    return redirect(url_for(".show", question_id=question_id), 303)


@pages.post("/<id:question_id>/answer")
def answer(question_id: int) -> Answer:
    session = reading()
    question = question_or_404(session, question_id)
    edit = _edited_answer(question)
    form = edit.opened()
    if not form.validate():
        return _page(session, question, form), 422
    with edit.saving(form, to=url_for(".show", question_id=question_id)) as session:
        saved = session.get_one(Question, question_id)
        questions.write_answer(saved, form.answer.data or "", form.state.data, clock.now())
    return _to(question_id, f"Answer saved; the question is {form.state.data}.")


@pages.route("/<id:question_id>/edit", methods=["GET", "POST"])
def edit(question_id: int) -> Answer:
    question = question_or_404(reading(), question_id)
    stands = QuestionForm(data={"text": question.text, "factor": question.factors})
    edit = edited(stands, Thing("question", question_id))
    form, sent = edit.opened(), request.method == "POST"
    if not sent or not form.validate():
        return _form_page(form, question), 422 if sent else 200
    with edit.saving(form, to=url_for(".show", question_id=question_id)) as session:
        saved = session.get_one(Question, question_id)
        saved.text, saved.factors = form.text.data or "", form.factor.data or []
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


@pages.post("/<id:question_id>/again")
def again(question_id: int) -> Response:
    """It was asked once more; nobody noted in which words."""
    question_or_404(reading(), question_id)
    with writing() as session:
        values = AskValues("", clock.today(), "", clock.now(), question_id)
        (ask_id,) = add_asks(session, [values])
        saved_at(session, url_for(".show", question_id=question_id, once=ask_id))
    shown = {"once": str(ask_id)}
    if request.form.get("back") == "list":
        return redirect(f"{url_for('.index')}?{urlencode(_kept(request.form) | shown)}", 303)
    return redirect(f"{url_for('.show', question_id=question_id)}?{urlencode(shown)}", 303)


@pages.post("/<id:question_id>/aside")
def set_aside(question_id: int) -> Response:
    return _leave(question_id, "set aside", "The question is set aside.")


@pages.post("/<id:question_id>/reopen")
def reopen(question_id: int) -> Response:
    return _leave(question_id, "open", "The question is open again.")


def _leave(question_id: int, state: str, message: str) -> Response:
    """Set an open question aside, or take it up again; an answered one stays as it is."""
    question_or_404(reading(), question_id)
    with writing(to=url_for(".show", question_id=question_id)) as session:
        question = session.get_one(Question, question_id)
        if question.state == "answered":
            message = "It is answered; its answer decides whether it is open."
        else:
            with noting(session, Thing("answer", question_id), state, lambda: _answer_of(question)):
                question.state = state
    return _to(question_id, message)


@pages.get("/<id:question_id>/export.csv")
def export_csv(question_id: int) -> Response:
    return _file(question_id, "csv")


@pages.get("/<id:question_id>/export.json")
def export_json(question_id: int) -> Response:
    return _file(question_id, "json")


def _file(question_id: int, kind: str) -> Response:
    from app.questions.export import as_csv, as_json

    files = {"csv": (as_csv, "text/csv"), "json": (as_json, "application/json")}
    question, (write, mimetype) = question_or_404(reading(), question_id), files[kind]
    disposition = f'attachment; filename="question-{question_id}.{kind}"'
    text = write(reading(), question, clock.now())
    return Response(text, mimetype=mimetype, headers={"Content-Disposition": disposition})


@pages.post("/tie")
def tie() -> Response:
    """Put a brew, a saved side by side or a blind test under a question, and go back."""
    form = TieForm(request.form)
    question_id, thing = number_or_none(form.question_id.data), thing_of(form)
    back = back_to(question_id if form.back.data == "question" else None, thing)
    if not question_id or thing is None:
        flash(CHOOSE, "error")
        return redirect(back, 303)
    try:
        with writing(to=back) as session:
            questions.tie(session, question_id, *thing, now=clock.now())
    except LookupError:
        abort(404)
    except ValueError as full:
        flash(str(full), "error")
    else:
        flash("It is under the question now.")
    return redirect(back, 303)


@pages.post("/<id:question_id>/untie")
def untie(question_id: int) -> Response:
    question_or_404(reading(), question_id)
    form = TieForm(request.form)
    thing = thing_of(form)
    if thing and form.back.data == "sheet":
        back = sheet_again(f"{thing[0]}s", question_id)
    else:
        back = back_to(question_id if form.back.data == "question" or not thing else None, thing)
    if thing:
        with writing(to=back) as session:
            removed = questions.untie(session, question_id, *thing, now=clock.now())
        flash(
            "It is no longer under the question." if removed else "It was not under the question."
        )
    return redirect(back, 303)


def _form_page(form: QuestionForm, question: Question | None = None) -> str:
    return render_template("questions/form.html", form=form, question=question, families=FAMILIES)


def _edited_answer(question: Question) -> Edited[AnswerForm]:
    """An answer is told, too, what else was done to its question."""
    form = _answer_of(question)
    own, whole = Thing("answer", question.id), Thing("question", question.id)
    return edited(form, own, whole, fields_of={whole: frozenset()})


def _answer_of(question: Question) -> AnswerForm:
    return AnswerForm(data={"answer": question.answer, "state": question.state})


def _page(session: Session, question: Question, form: AnswerForm) -> str:
    gathered = gather(session, question, formats(), clock.now())
    asks = asks_under(session, question.id)
    return render_template(
        "questions/show.html",
        question=question,
        form=form,
        found=gathered,
        repeats=_repeats(session, gathered),
        within=within_of(session, question, gathered),
        sources=sources_of(gathered),
        few=few_of(gathered),
        asks=asks,
        few_asks=few_asks(asks),
        once=_once_more(session),
        zone=clock.browser_zone(),
        now=clock.now(),
        sitting_id=sitting_with_question(session, question.id),
    )


def _repeats(session: Session, gathered: Gathered) -> list[str]:
    """How well those repeat whose scores of brews stand under a question."""
    rows = [row for brew in gathered.brews for row in brew.side.tastings if row.liking is not None]
    return beside_a_difference(session, {row.taster_id: row.taster_name for row in rows})


def _to(question_id: int, message: str) -> Response:
    flash(message)
    return redirect(url_for(".show", question_id=question_id), 303)
