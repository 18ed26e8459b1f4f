"""What is asked once before a valid brew form is saved: amounts far from the usual, and what the
recipe says otherwise. Saving again keeps what is there.

What was asked travels with the form, in its field `asked`.
"""

from dataclasses import asdict
from typing import NamedTuple

from flask import request
from sqlalchemy.orm import Session
from werkzeug.datastructures import MultiDict

from app.brews import words
from app.brews.filling import PickLists, from_recipe
from app.brews.forms import BrewForm
from app.journal.recipes import revision
from app.journal.rows import values_of
from app.journal.usual import FAR, Usual, is_far, usual_amounts
from app.models import Brew, RecipeRevision
from app.models.history import FieldText
from app.models.recipes import Amounts
from app.web import clock
from app.web.fields import DurationField, NumberField
from app.web.form_text import changed, shown, text_of, typed_in
from app.web.formats import formats


class Ask(NamedTuple):
    """A question, the id of the field it is about, and whether the recipe's values would answer."""

    key: str
    field_id: str
    text: str
    can_fill: bool = False


def asks(session: Session, form: BrewForm, brew: Brew | None = None) -> list[Ask]:
    """What is to be asked before a valid form is saved, and was not asked yet; `brew` is the one
    being changed."""
    known = (form.asked.data or "").split()
    found = [*_unusual(session, form, brew), *_recipe(session, form, brew)]
    new = [one for one in found if one.key not in known]
    form.asked.data = " ".join([*known, *(one.key for one in new)])
    return new


def _unusual(session: Session, form: BrewForm, brew: Brew | None) -> list[Ask]:
    """Amounts far from what is usual; those of the `brew` being changed are asked about only where
    they change."""
    brewer_id = form.brewer_id.data
    if brewer_id is None or form.new_brewer_kind.data:
        return []
    usual = usual_amounts(session, brewer_id, brew.id if brew else None)
    found = []
    for name in FAR:
        field, stood = form[name], getattr(brew, name, None)
        if not isinstance(field, NumberField | DurationField) or not field.data:
            continue
        if name in usual and field.data != stood and is_far(name, field.data, usual[name]):
            found.append(Ask(name, field.id, _in_words(field, usual[name])))
    return found


def _in_words(field: NumberField | DurationField, usual: Usual) -> str:
    def said(amount: float) -> str:
        if isinstance(field, DurationField):
            return formats().clock(amount)
        return formats().amount(amount, field.stored_unit, 1)

    low, high = said(usual.low), said(usual.high)
    return words.UNUSUAL.format(
        label=field.label.text,
        usual=low if low == high else f"{low} to {high}",
        here=said(field.data),
    )


def _recipe(session: Session, form: BrewForm, brew: Brew | None) -> list[Ask]:
    of = chosen(session, form)
    if of is None or key_of(of.id) in (form.asked.data or "").split():
        return []
    lists = PickLists(session, clock.today(), brew)
    lists.put_into(form)
    text = says(form, of, lists)
    return [Ask(key_of(of.id), form.revision_id.id, text, can_fill=True)] if text else []


def key_of(revision_id: int) -> str:
    return f"recipe:{revision_id}"


def chosen(session: Session, form: BrewForm) -> RecipeRevision | None:
    revision_id = form.revision_id.data
    return revision(session, revision_id) if revision_id else None


def says(form: BrewForm, of: RecipeRevision, lists: PickLists) -> str:
    """What the recipe says that stands otherwise in the form; empty where nothing does."""
    here = {text["name"]: text for text in text_of(form)}
    said = [
        f"{text['label'].lower()} {shown(text) or 'none'} (here {shown(here[text['name']]) or '–'})"
        for text in otherwise(form, of, lists)
    ]
    return words.RECIPE_SAYS.format(recipe=_name(of), said=", ".join(said)) if said else ""


def agrees(of: RecipeRevision) -> str:
    return words.AS_RECIPE_SAYS.format(recipe=_name(of))


def otherwise(form: BrewForm, of: RecipeRevision, lists: PickLists) -> list[FieldText]:
    """The fields that the recipe says other values of, as it says them. What it does not note
    leaves the form alone, and so does a brewer that is alike to its own."""
    filled = BrewForm(prefix=form.prefix, data=from_recipe(of, {}))
    lists.put_into(filled)
    noted = {
        name for name, value in asdict(values_of(of, Amounts)).items() if value not in (None, "")
    }
    if of.brewer_id and not lists.are_alike(of.brewer_id, form.brewer_id.data):
        noted.add("brewer_id")
    names = {form[name].name for name in noted}
    return [text for text in changed(text_of(form), text_of(filled)) if text["name"] in names]


def wants_recipe(form: BrewForm) -> bool:
    """Whether the button that fills in the recipe was pressed."""
    return f"{form.prefix}fill" in request.form


def fill(session: Session, form: BrewForm, lists: PickLists) -> None:
    """Put into the form what its recipe says, as if it had been typed."""
    of, fields = chosen(session, form), {field.name: field for field in form}
    for text in otherwise(form, of, lists) if of else ():
        fields[text["name"]].process(MultiDict(typed_in([text])))


def start(form: BrewForm) -> None:
    """A recipe that the form is opened with is not asked about: it was chosen before; nor is what
    the form says already that it needs no asking."""
    known = [key_of(form.revision_id.data)] if form.revision_id.data else []
    form.asked.data = " ".join([*(form.asked.data or "").split(), *known])


def _name(of: RecipeRevision) -> str:
    return f"{of.recipe.name}, revision {of.number},"
