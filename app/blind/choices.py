"""The choices of a plan as its page offers them: what does not go with the ones before is left out,
and says why. `static/js/plan.js` asks for the same, `told`, as choices are made."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import cast

from wtforms import RadioField

from app.blind.expect import takes
from app.blind.forms import PlanForm, is_listed
from app.blind.sentence import in_one_sentence
from app.journal.blind.plan import DIRECTED, refusals
from app.sensory.blind.design import FIELDS, Choices, Field, closed
from app.web.fields import NumberField
from app.web.formats import formats

CARDS: tuple[Field, ...] = ("claim", "brewing", "method", "tasting", "pouring", "rule")
CHANGED = "Changed to:"
SO_MANY = 18  # trials, where a number is needed and none was typed


@dataclass(frozen=True, slots=True)
class Offer:
    """What a field does not offer, each with the reason, and what is said about that."""

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


def left_out(form: PlanForm, offers: Offers) -> dict[str, bool]:
    """Whether a part of the page is left out, since nothing is to be said or chosen there."""
    controls, method = offers["controls"], form.method.data
    return {
        "named": method not in DIRECTED,
        "reminded": method != "A-not-A",
        "reminder": "yes" in offers["reminder"].closed,
        "several": form.tasting.data not in ("several", "panel"),
        "counted": form.rule.data != "fixed number",
        "control": "some" in controls.closed,
        "controls": "some" in controls.closed and not _is_changed(controls),
    }


def told(form: PlanForm) -> dict[str, object]:
    """All that changes on the page with the choices made, for its script."""
    offers = fit(form)
    cards = {
        name: {"chosen": form[name].data, "closed": list(offers[name].closed)} for name in CARDS
    }
    return {
        "cards": cards,
        "notes": {name: offer.notes for name, offer in offers.items()},
        "left_out": left_out(form, offers),
        "reminder": bool(form.reminder.data),
        "numbers": {field.name: field._value() for field in (form.fixed_trials, form.controls)},
        "sentence": sentence_of(form),
        "takes": takes(form.test(), formats()) if can_be_read(form) else "",
    }


def can_be_read(form: PlanForm) -> bool:
    """Whether what it takes can be worked out, be the rest sound or not."""
    if not all(is_listed(cast(RadioField, form[name])) for name in CARDS):
        return False
    if form.p_d_pct.data and not is_listed(form.p_d_pct):
        return False
    if form.rule.data == "fixed number" and form.fixed_trials.data is None:
        return False
    return "fixed_trials" not in dict(refusals(form.test()))  # too few or too many for a panel


def _is_changed(offer: Offer) -> bool:
    return any(note.startswith(CHANGED) for note in offer.notes)


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
    notes = [f"{CHANGED} {changed}."] if changed else []
    said = set(form[name].errors)
    if name not in CARDS:
        return notes + [why for why in dict.fromkeys(shut.values()) if why not in said]
    names = _names(cast(RadioField, form[name]))
    for why in dict.fromkeys(shut.values()):
        out = ", ".join(label for word, label in names.items() if shut.get(word) == why)
        notes.append(f"Left out: {out}." + ("" if why in said else f" {why}"))
    return notes


def _names(field: RadioField) -> dict[str, str]:
    return {choice[0]: str(choice[1]).split("\n")[0] for choice in field.iter_choices()}
