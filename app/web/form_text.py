"""What a form holds, field by field, apart from how this household writes values.

So it can be kept for years, be compared, and be typed into a form again.
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from werkzeug.datastructures import MultiDict
from wtforms import (
    BooleanField,
    Field,
    FieldList,
    FileField,
    FormField,
    HiddenField,
    SelectField,
    SelectMultipleField,
)
from wtforms.fields.choices import SelectFieldBase
from wtforms.form import BaseForm

from app.models.history import FieldText
from app.web.fields import NumberField, TypedField
from app.web.formats import formats


class Difference(NamedTuple):
    """A field of which two versions differ, each as a person reads it.

    `both` where both versions changed what stood before them.
    """

    name: str
    label: str
    mine: str
    theirs: str
    changed_by: str


def text_of(form: BaseForm) -> list[FieldText]:
    """Every field that a person fills in."""
    return list(_texts(form, ""))


def _texts(form: BaseForm, within: str) -> Iterator[FieldText]:
    for field in form:
        if isinstance(field, FileField | HiddenField):
            continue
        if isinstance(field, FieldList):
            for number, entry in enumerate(field, start=1):
                if isinstance(entry, FormField):
                    yield from _texts(entry.form, f"{field.label.text} {number}, ")
        else:
            yield _text(field, within)


def _text(field: Field, within: str) -> FieldText:
    label = within + field.label.text
    text: FieldText = {
        "name": field.name,
        "label": label,
        "values": [],
        "shown": "",
        "unit": field.stored_unit if isinstance(field, NumberField) else None,
    }
    if field.data is None or field.data is False or field.data in ("", []):
        return text
    if isinstance(field, NumberField):
        text["values"] = [repr(float(field.data))]
    elif isinstance(field, TypedField):
        text["values"] = [field.write(field.data)]
    elif isinstance(field, BooleanField):
        text["values"], text["shown"] = ["y"], "yes"
    elif isinstance(field, SelectMultipleField):
        text["values"] = [str(value) for value in field.data]
    else:
        text["values"] = [str(field.data)]
    if isinstance(field, SelectFieldBase):
        text["shown"] = _choice(field, text["values"])
    return text


def _choice(field: SelectFieldBase, values: list[str]) -> str:
    if not isinstance(field, SelectField) or field.choices is None:
        return ", ".join(values)
    names = {str(choice[0]): str(choice[1]) for choice in field.iter_choices()}
    return ", ".join(names.get(value, value).replace("\n", ", ") for value in values)


def typed(text: FieldText) -> list[str]:
    """The field as one would type it now."""
    unit = text["unit"]
    if unit is None:
        return text["values"]
    return [formats().typed(float(value), unit) for value in text["values"]]


def shown(text: FieldText | None) -> str:
    """The field as a person reads it now; empty where it is empty or missing."""
    if text is None:
        return ""
    if text["shown"] or text["unit"] is None:
        return text["shown"] or ", ".join(text["values"])
    written = ", ".join(typed(text))
    return f"{written} {formats().unit(text['unit'])}".strip() if written else ""


def typed_in(texts: Iterable[FieldText]) -> MultiDict[str, str]:
    """The form as a browser would send it."""
    return MultiDict([(text["name"], value) for text in texts for value in typed(text)])


def changed(before: Iterable[FieldText], after: Iterable[FieldText]) -> list[FieldText]:
    """The fields as they are after, where they differ from before.

    A field that one of the two lacks is empty there.
    """
    old, new = _by_name(before), _by_name(after)
    return [
        new.get(name) or _emptied(old[name])
        for name in {**old, **new}
        if _typed(old, name) != _typed(new, name)
    ]


def differences(
    base: Iterable[FieldText], theirs: Iterable[FieldText], mine: Iterable[FieldText]
) -> list[Difference]:
    """Where `theirs` and `mine`, both made from `base`, say different things."""
    was, stands, sent = _by_name(base), _by_name(theirs), _by_name(mine)
    found = []
    for text in changed(stands.values(), sent.values()):
        name = text["name"]
        before = _typed(was, name)
        changed_by = "both"
        if before == _typed(stands, name):
            changed_by = "mine"
        elif before == _typed(sent, name):
            changed_by = "theirs"
        theirs_shown = shown(stands.get(name))
        found.append(Difference(name, text["label"], shown(text), theirs_shown, changed_by))
    return found


def _by_name(texts: Iterable[FieldText]) -> dict[str, FieldText]:
    return {text["name"]: text for text in texts}


def _typed(texts: dict[str, FieldText], name: str) -> list[str]:
    return typed(texts[name]) if name in texts else []


def _emptied(text: FieldText) -> FieldText:
    return {**text, "values": [], "shown": ""}
