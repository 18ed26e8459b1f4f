"""Planning a sitting: which questions, what each takes, and the plan that is saved."""

from flask import render_template, request, url_for
from sqlalchemy.orm import Session

from app.journal.asks.reading import asked_questions
from app.journal.gathered.strength import strengths
from app.journal.sittings.reading import planned_question_ids
from app.journal.sittings.saving import add_sitting
from app.sittings.pages import Answer, to_sheet
from app.sittings.plan_page import MOST_CHOSEN, PlanPage, of_the_first_day, page_of, questions_of
from app.sittings.plan_words import assumed, from_where, glance, rounds
from app.web import clock
from app.web.saved_forms import sent_key
from app.web.session import reading, saved_at, writing

MOST_LISTED = 100
CHOOSE = "Choose at least one question."


def choose() -> Answer:
    """Which questions; with `q` the plan that is proposed for these."""
    session = reading()
    questions = questions_of(session, request.args)
    if not questions:
        return _to_choose(session)
    return _page(page_of(session, questions, request.args))


def create() -> Answer:
    """Save the plan; or with `again` work it out anew, with `first_day` for the trials of one day,
    which saves nothing."""
    session = reading()
    sent = of_the_first_day(request.form) if "first_day" in request.form else request.form
    questions = questions_of(session, sent)
    if not questions:
        return _to_choose(session, CHOOSE), 422
    page = page_of(session, questions, sent)
    if "again" in sent or "first_day" in sent:
        return _page(page), 422  # nothing is saved yet
    page.refuse_same()
    if not page.can_be_saved or page.ready is None:
        return _page(page), 422
    with writing() as session:
        lines, now = page.ready.plan.lines, clock.now()
        sitting = add_sitting(session, page.asked, lines, now, sent_key())
        session.flush()
        sitting_id = sitting.id
        saved_at(session, url_for("sittings.show", sitting_id=sitting_id))
    return to_sheet(sitting_id)


def _page(page: PlanPage) -> str:
    ready = page.ready if page.ready and page.ready.plan.lines else None
    return render_template(
        "sittings/plan.html",
        page=page,
        ready=ready,
        texts={one.of.question_id: one.of.text for one in page.chosen},
        glance=glance(ready) if ready else [],
        rounds=rounds(ready.plan) if ready else [],
        assumed=assumed(page.kitchen.kettle_g.data or 0),
        from_where={
            one.of.question_id: from_where(one.of, settable=one.settable) for one in page.chosen
        }
        | {of.question_id: from_where(of, settable=False) for of in page.without},
    )


def _to_choose(session: Session, wrong: str = "") -> str:
    return render_template(
        "sittings/choose.html",
        rows=asked_questions(session)[:MOST_LISTED],
        levels=strengths(session, clock.now()),
        planned=planned_question_ids(session),
        most=MOST_CHOSEN,
        wrong=wrong,
    )
