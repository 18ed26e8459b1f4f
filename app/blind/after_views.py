"""After the reveal: what the taster says of a trial now, and how to taste its cups again."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from flask import flash, g, render_template, request, url_for
from wtforms import Form, RadioField
from wtforms.validators import ValidationError

from app.blind.pages import Answer, pages, to_trial, trial_or_404
from app.blind.words import KEPT_APART
from app.journal.blind.afterthoughts import AfterthoughtRow, afterthought_of, keep_afterthought
from app.journal.blind.poured_from import TrialBrews, brews_of_trial
from app.journal.history import Thing
from app.journal.tastings import TastingRow, tastings_after
from app.models import BlindTest
from app.models.base import NOTE_CHARS
from app.models.blind_after import AfterthoughtValues
from app.models.tastings import PREFERENCES
from app.sensory.terms import Letter
from app.web import clock
from app.web.changing import Edited, edited
from app.web.fields import NoteField
from app.web.session import reading

NOTHING_SAID = "Nothing was said yet: choose what you like better, or write a note."


class NoteForm(Form):
    """What is said of a trial of which one cup was tasted, or two of one kind."""

    note = NoteField("What did you taste?", longest=NOTE_CHARS)

    def values(self) -> AfterthoughtValues:
        return AfterthoughtValues(note=self.note.data or "")


class PreferenceForm(NoteForm):
    """The same with a preference, which may stay unanswered."""

    preference = RadioField(
        "Which do you like better, now that you know?",
        coerce=lambda value: value or None,
        validate_choice=False,
    )

    def values(self) -> AfterthoughtValues:
        return AfterthoughtValues(preference=self.preference.data, note=self.note.data or "")

    def validate_preference(self, field: RadioField) -> None:
        if field.data is not None and field.data not in PREFERENCES:
            raise ValidationError("Please choose one of these.")


@dataclass(frozen=True)
class Again:
    """A way to taste cups of a trial again: the address, and what the button says."""

    url: str
    text: str


@dataclass(frozen=True)
class Afterwards:
    """What is said of a trial since its key was shown; `again` is empty where no brew is known.

    A tasting has no letter where its brew is tied to the trial no more.
    """

    edit: Edited[NoteForm]
    said: AfterthoughtRow | None
    tasted: list[tuple[Letter | None, TastingRow]]
    again: list[Again]
    kept_apart: str = KEPT_APART

    @property
    def form(self) -> NoteForm:
        return self.edit.stands


@pages.route("/trials/<id:trial_id>/after", methods=["GET", "POST"])
def after(trial_id: int) -> Answer:
    """Say, or change, what one thinks of a trial whose key was shown."""
    session = reading()
    test, row = trial_or_404(session, trial_id)
    poured = brews_of_trial(session, trial_id)
    if poured is None:
        return to_trial(trial_id)
    stands = afterwards(poured)
    form = _offering(stands.edit.opened(), test)
    if request.method != "POST" or not _valid(form, stands.said):
        page = render_template("blind/after.html", trial=row, form=form, after=stands)
        return (page, 422) if request.method == "POST" else page
    with stands.edit.saving(form, to=url_for(".trial", trial_id=trial_id)) as session:
        keep_afterthought(session, trial_id, form.values(), clock.now())
    flash("Noted beside the blind answer.")
    return to_trial(trial_id)


def afterwards(poured: TrialBrews) -> Afterwards:
    """What is said of a trial whose key was shown. A guest, to whom the journal is shut, tastes
    nothing again."""
    session, trial_id = reading(), poured.trial.id
    said = afterthought_of(session, trial_id)
    of_two = len(poured.wanted) == 2
    form = _offering((PreferenceForm if of_two else NoteForm)(obj=said), poured.test)
    edit = edited(form, Thing("afterthought", trial_id))
    if g.layout is not None:
        return Afterwards(edit, said, [], [])
    cups = {brew_id: cup for cup, brew_id in poured.at_hand}
    tasted = [(cups.get(row.brew_id), row) for row in tastings_after(session, trial_id)]
    return Afterwards(edit, said, tasted, _again(trial_id, poured.at_hand))


def _again(trial_id: int, at_hand: list[tuple[Letter, int]]) -> list[Again]:
    """Both cups on one page where there is one brew of each, or else each by itself."""
    letters = [cup for cup, _ in at_hand]
    if letters == ["A", "B"]:
        (_, a), (_, b) = at_hand
        url = url_for("two_tastings.new", brew_a=a, brew_b=b, after=trial_id)
        return [Again(url, "Taste both again, now knowing")]
    return list(_each(trial_id, at_hand))


def _each(trial_id: int, at_hand: list[tuple[Letter, int]]) -> Iterable[Again]:
    letters = [cup for cup, _ in at_hand]
    for place, (cup, brew_id) in enumerate(at_hand):
        which = f"{cup}, brew {letters[: place + 1].count(cup)}" if letters.count(cup) > 1 else cup
        url = url_for("tastings.new", brew_id=brew_id, after=trial_id)
        yield Again(url, f"Taste {which} again, now knowing")


def _offering(form: NoteForm, test: BlindTest) -> NoteForm:
    """The form with what may be preferred, where that is asked."""
    if isinstance(form, PreferenceForm):
        choices: dict[Any, str] = {
            "a": f"A\n{test.a_words}",
            "b": f"B\n{test.b_words}",
            "neither": "No preference",
            "": "Not answered",
        }
        form.preference.choices = choices
    return form


def _valid(form: NoteForm, before: AfterthoughtRow | None) -> bool:
    """What was said may be taken back, but nothing cannot be said."""
    valid = form.validate()
    if valid and before is None and form.values() == AfterthoughtValues():
        form.form_errors.append(NOTHING_SAID)
        return False
    return valid
