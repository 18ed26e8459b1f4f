"""Putting things under a question and taking them off, from its page or from theirs."""

from flask import abort, flash, redirect, request, url_for
from sqlalchemy.exc import IntegrityError
from werkzeug.wrappers import Response

from app.journal import questions
from app.journal.questions import Kind
from app.models import SideBySide
from app.questions.forms import TieForm, thing_of
from app.questions.pages import pages, question_or_404
from app.web.fields import number_or_none
from app.web.session import reading, writing

CHOOSE = "Please choose one from the list."
BACK_TO_QUESTION = "question"


@pages.post("/tie")
def tie() -> Response:
    """Put a brew, a saved side by side or a blind test under a question, and go back."""
    form = TieForm(request.form)
    question_id, thing = number_or_none(form.question_id.data), thing_of(form)
    back = question_id if form.back.data == BACK_TO_QUESTION else None
    if not question_id or thing is None:
        flash(CHOOSE, "error")
        return redirect(_place(back, thing), 303)
    try:
        with writing() as session:
            questions.tie(session, question_id, *thing)
    except LookupError:
        abort(404)
    except ValueError as full:
        flash(str(full), "error")
    except IntegrityError:  # put there a moment ago by a second tap
        flash("It is under the question.")
    else:
        flash("It is under the question now.")
    return redirect(_place(back, thing), 303)


@pages.post("/<id:question_id>/untie")
def untie(question_id: int) -> Response:
    question_or_404(reading(), question_id)
    form = TieForm(request.form)
    thing = thing_of(form)
    if thing:
        with writing() as session:
            removed = questions.untie(session, question_id, *thing)
        flash(
            "It is no longer under the question." if removed else "It was not under the question."
        )
    back = question_id if form.back.data == BACK_TO_QUESTION or not thing else None
    return redirect(_place(back, thing), 303)


def _place(question_id: int | None, thing: tuple[Kind, int] | None) -> str:
    """The page to return to: the question's, else the thing's, else the list."""
    if question_id:
        return url_for("questions.show", question_id=question_id)
    kind, row_id = thing or ("", 0)
    if kind == "brew":
        return url_for("brews.show", brew_id=row_id)
    if kind == "blind_test":
        return url_for("blind.show", test_id=row_id)
    saved = reading().get(SideBySide, row_id) if kind == "side_by_side" else None
    if saved is not None:
        return url_for("side_by_side.show", brew_a=saved.brew_a_id, brew_b=saved.brew_b_id)
    return url_for("questions.index")
