"""A trial as the taster sees it: waiting, answering, and the key once it was answered."""

from typing import Any, Literal

from flask import abort, flash, g, render_template, request
from werkzeug.wrappers import Response

from app.blind import at_the_table, words
from app.blind.after_views import afterwards
from app.blind.browser import known_browser, remember, who
from app.blind.cups import cups_of
from app.blind.forms import AnswerForm, MarkForm, ReasonForm
from app.blind.helper_views import helper_of, state_of
from app.blind.pages import Answer, end_if_settled, pages, step, to_test, to_trial, trial_or_404
from app.blind.tying_views import brews_card
from app.journal.blind import saving, sealed
from app.journal.blind.answers import answers_of
from app.journal.blind.keys import REFERENCE, answers, is_right, place_names
from app.journal.blind.open import MARK_HOURS, OpenTrial
from app.journal.blind.poured_from import brews_of_trial
from app.journal.blind.standing import results_hidden, standing
from app.journal.blind.uses_then import remember_uses
from app.journal.sittings.pouring import note_poured
from app.journal.sittings.reading import sitting_with_test
from app.models import BlindTest
from app.sensory.blind.methods import said
from app.sensory.terms import MARK_LOST
from app.web import clock
from app.web.session import reading, writing

Stage = Literal["void", "solo", "waiting", "answer", "lift", "thanks", "answered", "seen"]

FIRST_STANDS = "This trial was answered before; that answer stands."
NOT_POURED = "This trial is not poured yet."
WAS_VOID = "This trial was void before."
TOO_LATE = f"Its mark was not read within {MARK_HOURS} hours: this answer counts as it stands."
MARK_STANDS = "The mark under the cup was noted before, and stands."


@pages.get("/trials/<id:trial_id>")
def trial(trial_id: int) -> str:
    test, row = trial_or_404(reading(), trial_id)
    return _page(test, row, AnswerForm(), MarkForm(), ReasonForm())


@pages.post("/trials/<id:trial_id>/answer")
def answer(trial_id: int) -> Answer:
    """Store the answer; only when it is on disk may the key be shown, in a step of its own."""
    test, row = trial_or_404(reading(), trial_id)
    form = AnswerForm(request.form)
    form.place.choices = _places(test, row)
    if not form.validate():
        return _page(test, row, form, MarkForm(), ReasonForm()), 422
    unasked = test.method == "preference" or said(test.method)
    sure = None if unasked else request.form.get("sure") == "yes"
    place, note = form.place.data, form.note.data or ""
    # A trial takes one answer, whichever form sends it.
    with step(test.id, keyed=False) as (session, _):
        stored = saving.answer(
            session, trial_id, who(), clock.now(), place=place, sure=sure, note=note
        )
        if stored:
            remember_uses(session, test.id)
    if not stored:
        flash(_why_not(trial_id), "error")
    elif row.pouring != "solo":
        _show_key(test, trial_id)
    return remember(to_trial(trial_id))


@pages.post("/trials/<id:trial_id>/lift")
def lift(trial_id: int) -> Answer:
    """Store the mark read under the cup; the answer was stored before."""
    test, row = trial_or_404(reading(), trial_id)
    form = MarkForm(request.form)
    form.mark.choices = _marks(test)
    if not form.validate():
        return _page(test, row, AnswerForm(), form, ReasonForm()), 422
    with step(test.id, keyed=False) as (session, _):
        stored = saving.lift(session, trial_id, form.mark.data, clock.now())
        note_poured(session, trial_id, clock.now())
    if not stored and row.lifted:
        flash(MARK_STANDS, "error")
    elif row.is_late(clock.now()):
        flash(TOO_LATE, "error")
        end_if_settled(test.id)
    elif stored and not row.warm_up:
        end_if_settled(test.id)
    return to_trial(trial_id)


@pages.post("/trials/<id:trial_id>/reveal")
def reveal(trial_id: int) -> Response:
    """Show the key of a trial that was answered, where that did not happen at once."""
    test, row = trial_or_404(reading(), trial_id)
    if row.answered_at and row.pouring != "solo":
        _show_key(test, trial_id)
    return to_trial(trial_id)


@pages.post("/trials/<id:trial_id>/void")
def void(trial_id: int) -> Answer:
    test, row = trial_or_404(reading(), trial_id)
    form = ReasonForm(request.form)
    if not form.validate():
        return _page(test, row, AnswerForm(), MarkForm(), form), 422
    with step(test.id, keyed=False) as (session, _):
        voided = saving.void(session, trial_id, form.reason.data or "", clock.now())
    if not voided:
        flash(_why_not(trial_id), "error")
        return to_trial(trial_id)
    end_if_settled(test.id)
    flash(f"Trial {row.number} is void and stays listed with your reason.")
    return to_test(test.id)


def _why_not(trial_id: int) -> str:
    """Why a trial takes no answer, and is not void now."""
    _, row = trial_or_404(reading(), trial_id)
    if row.answered_at:
        return FIRST_STANDS
    return WAS_VOID if row.voided_at else NOT_POURED


def _show_key(test: BlindTest, trial_id: int) -> None:
    """Note that the key was shown, and end the test where its rule is met."""
    if not results_hidden(test):
        with writing(keyed=False) as session:
            saving.see(session, trial_id, clock.now())
            note_poured(session, trial_id, clock.now())
    end_if_settled(test.id)


def _stage(test: BlindTest, row: OpenTrial) -> Stage:
    if row.voided_at:
        return "void"
    if not row.served_at:
        return "solo" if row.pouring == "solo" else "waiting"
    if not row.answered_at:
        return "answer"
    if row.pouring == "solo" and row.lifted is None:
        return "lift"
    if results_hidden(test):
        return "thanks"
    return "seen" if row.seen_at else "answered"


def _page(
    test: BlindTest, row: OpenTrial, form: AnswerForm, mark_form: MarkForm, reason_form: ReasonForm
) -> str:
    """The page of the stage the trial is at."""
    stage = _stage(test, row)
    form.place.choices = _places(test, row)
    mark_form.mark.choices = _marks(test)
    return render_template(
        "blind/trial.html",
        stage=stage,
        test=test,
        trial=row,
        form=form,
        mark_form=mark_form,
        reason_form=reason_form,
        serving=at_the_table.serving(),
        cups=cups_of(reading(), test),
        question=words.question(test),
        sitting_id=None if g.layout else sitting_with_test(reading(), test.id),
        chosen="" if row.answer is None else _name(test, row, row.answer),
        **_of_stage(stage, test, row),
    )


def _of_stage(stage: Stage, test: BlindTest, row: OpenTrial) -> dict[str, object]:
    """What only the page of this stage shows; the key is only fetched where it may be seen."""
    if stage == "solo":
        key = sealed.key_for_solo(reading(), row.id) or abort(404)
        return {
            "serving_card": at_the_table.serving_card(test, row, key, cups_of(reading(), test)),
            "lost_count": at_the_table.LOST_COUNT,
            "mark_hours": MARK_HOURS,
        }
    if stage == "waiting":
        codes = [
            place.code for place in at_the_table.named_places(test, row).values() if place.code
        ]
        session = reading()
        return {
            "codes": codes,
            "own_pour": row.poured_by == known_browser(),
            "state": state_of(session, row),
            "helper": None if g.layout else helper_of(session, test.id),
            "zone": clock.browser_zone(),
        }
    if stage == "answer":
        return {
            "in_words": said(test.method) is not None,
            "how": at_the_table.how_to_taste(test, row),
        }
    if stage == "lift":
        to_lift, late = at_the_table.cup_to_lift(test, row), row.is_late(clock.now())
        return {"to_lift": to_lift, "late": late, "mark_hours": MARK_HOURS}
    return _shown(test, row) if stage == "seen" else {}


def _shown(test: BlindTest, row: OpenTrial) -> dict[str, object]:
    """What only a finished trial's page knows."""
    session = reading()
    now = clock.now()
    key = sealed.key_of_finished(session, row.id, now) or abort(404)
    answers = answers_of(session, test, now)
    this = next(trial for trial in answers.finished if trial.id == row.id)
    read = standing(test, answers)
    poured_from = brews_of_trial(session, row.id) or abort(404)
    return {
        "right": None if _open_ended(test) else is_right(test.method, test.more, this),
        "is_control": key.is_control,
        "late": this.late,
        "mark_hours": MARK_HOURS,
        "poured": at_the_table.poured(test, row, key),
        "read": read,
        "meters": words.meters(read, test.rule),
        # Not for a guest, to whom the journal is shut.
        "brews": brews_card(poured_from) if g.layout is None else None,
        "after": afterwards(poured_from),
    }


def _open_ended(test: BlindTest) -> bool:
    """Whether no cup is the right one: what is liked, or which has more, is to be found out."""
    return test.method == "preference" or test.more is not None


def _name(test: BlindTest, row: OpenTrial, number: int) -> str:
    """A place by its code, or in words where cups have none."""
    if not number:
        return "no preference"
    if words_said := said(test.method):
        return words_said[number - 1]
    place = at_the_table.named_places(test, row)[number]
    return place.code or place.name


def _places(test: BlindTest, row: OpenTrial) -> dict[Any, str]:
    """The answers to choose from: two words, or places with the code first, where there is one."""
    choices: dict[Any, str] = dict(enumerate(said(test.method) or (), 1))
    if choices:
        return choices
    for number in answers(test.method):
        place = at_the_table.named_places(test, row)[number]
        choices[number] = f"{place.code}\n{place.name}" if place.code else place.name.capitalize()
    return choices | {0: "No preference"} if test.method == "preference" else choices


def _marks(test: BlindTest) -> dict[str, str]:
    cups = sum(name != REFERENCE for name in place_names(test.method, True).values())
    marks = {str(mark): str(mark) for mark in range(1, cups + 1)}
    return marks | {MARK_LOST: "It cannot be read any more"}
