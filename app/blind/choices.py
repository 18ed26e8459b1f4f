"""The choices of a plan as its page offers them: what does not go with the ones before is left out,
and says why. `static/js/plan.js` does the same as choices are made, from the same lists."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import cast

from wtforms import RadioField

from app.blind.forms import PlanForm
from app.blind.sentence import PARTS, in_one_sentence
from app.sensory.blind.design import CLASHES, FIELDS, Choices, Field, closed
from app.web.fields import NumberField

CARDS: tuple[Field, ...] = ("claim", "brewing", "method", "tasting", "pouring", "rule")
SO_MANY = 18  # trials, where a number is needed and none was typed

# For the page's script.
TOGETHER = {
    "fields": FIELDS,
    "clashes": [{"field": clash.field, "when": clash.when, "why": clash.why} for clash in CLASHES],
    "parts": [{"when": when, "text": text} for when, text in PARTS],
}


@dataclass(frozen=True, slots=True)
class Offer:
    """What a field does not offer, and what is said about that; `changed` is in it, too."""

    closed: Mapping[str, str]
    notes: tuple[str, ...] = ()


Offers = dict[Field, Offer]


def choices_of(form: PlanForm) -> Choices:
    """What is chosen, be it sound or not."""
    chosen: dict[Field, str] = {name: form[name].data or "" for name in CARDS}
    reminded = form.reminder.data and form.method.data == "A-not-A"
    return chosen | {
        "reminder": "yes" if reminded else "no",
        "controls": "some" if form.controls.data else "none",
    }


def fit(form: PlanForm) -> Offers:
    """What the page offers of each choice; what does not go with the ones before it is changed to
    the first that does, so that no plan has to be refused twice."""
    offers: Offers = {}
    for name in FIELDS:
        shut = closed(name, choices_of(form))
        clashing = choices_of(form)[name] in shut and not (name == "controls" and form[name].errors)
        changed = _change(form, name, shut) if clashing else ""
        offers[name] = Offer(shut, (*_notes(form, name, shut, changed),))
    return offers


def sentence_of(form: PlanForm) -> str:
    """The plan in one sentence."""
    return in_one_sentence(
        choices_of(form),
        attribute=form.attribute.data or "",
        trials=form.fixed_trials.data,
        controls=form.controls.data,
    )


def _change(form: PlanForm, name: Field, shut: Mapping[str, str]) -> str:
    """Change a choice that is closed; gives the name of the new one."""
    if name == "reminder":
        form.reminder.data = False
        return "no reminder"
    if name == "controls":
        _put(form.controls, (form.fixed_trials.data or SO_MANY) if "none" in shut else None)
        return str(form.controls.data or "none")
    if name == "rule" and form.fixed_trials.data is None and not form.fixed_trials.errors:
        _put(form.fixed_trials, SO_MANY)
    field = cast(RadioField, form[name])
    field.data = next(word for word in _names(field) if word not in shut)
    return _names(field)[field.data]


def _put(field: NumberField, number: float | None) -> None:
    field.data, field.typed = number, None


def _notes(form: PlanForm, name: Field, shut: Mapping[str, str], changed: str) -> list[str]:
    notes = [f"Changed to: {changed}."] if changed else []
    said = set(form[name].errors)
    if name not in CARDS:
        return notes + [why for why in dict.fromkeys(shut.values()) if why not in said]
    names = _names(cast(RadioField, form[name]))
    for why in dict.fromkeys(shut.values()):
        left_out = ", ".join(label for word, label in names.items() if shut.get(word) == why)
        notes.append(f"Left out: {left_out}." + ("" if why in said else f" {why}"))
    return notes


def _names(field: RadioField) -> dict[str, str]:
    return {choice[0]: str(choice[1]).split("\n")[0] for choice in field.iter_choices()}
