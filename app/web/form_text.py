"""What a form holds, field by field, apart from how this household writes values.

So it can be kept for years, be compared, and be typed into a form again.
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from werkzeug.datastructures import MultiDict
from wtforms import BooleanField, Field, FileField, HiddenField, SelectField, SelectMultipleField
from wtforms.fields.choices import SelectFieldBase
from wtforms.form import BaseForm

from app.models.history import FieldText
from app.web.fields import DayField, DurationField, NumberField, RowsField, TypedField
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
    """Every field that a person fills in; of a list, its filled rows in their order."""
    return [_text(field) for field in form if not isinstance(field, FileField | HiddenField)]


def _text(field: Field) -> FieldText:
    text: FieldText = {
        "name": field.name,
        "label": field.label.text,
        "values": [],
        "shown": "",
        "unit": field.stored_unit if isinstance(field, NumberField) else None,
    }
    if isinstance(field, RowsField):
        text["rows"] = [text_of(row) for row in field.in_order()]
        return text
    if field.data is None or field.data is False or field.data in ("", []):
        return text
    if isinstance(field, NumberField):
        text["values"] = [repr(float(field.data))]
    elif isinstance(field, TypedField):
        text["values"] = [field.write(field.data)]
        if isinstance(field, DurationField):
            text["shown"] = formats().clock(field.data)
        elif isinstance(field, DayField):
            text["shown"] = formats().day(field.data)
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
    if "rows" in text:
        return "\n".join(_line(row) for row in text["rows"])
    if text["shown"] or text["unit"] is None:
        return text["shown"] or ", ".join(text["values"])
    written = ", ".join(typed(text))
    return f"{written} {formats().unit(text['unit'])}".strip() if written else ""


def _line(row: list[FieldText]) -> str:
    """Such as: 2. pour, starts at 0:30, water or ice 180 g. The first field is the row's place."""
    (_, place), (_, what), *others = [(text["label"].lower(), shown(text)) for text in row]
    return f"{place}. {what}" + "".join(f", {label} {said}" for label, said in others if said)


def typed_in(texts: Iterable[FieldText]) -> MultiDict[str, str]:
    """The form as a browser would send it."""
    return MultiDict(list(_sent(texts)))


def _sent(texts: Iterable[FieldText]) -> Iterator[tuple[str, str]]:
    for text in texts:
        yield from ((text["name"], value) for value in typed(text))
        for row in text.get("rows", ()):
            yield from _sent(row)


def is_part(name: str, of: str) -> bool:
    """Whether the field of this name is `of`, or in a row of it."""
    return name == of or name.startswith(f"{of}-")


def keep_digits(form: BaseForm, stands: BaseForm) -> None:
    """Numbers that were not touched keep the digits that stand, which the form did not show."""
    stood = {field.name: field for field in _numbers(stands)}
    for field in _numbers(form):
        before = stood.get(field.name)
        if before is None or before.data is None or field.data is None:
            continue
        unit, read_back = field.stored_unit, formats().read_back
        if read_back(field.data, unit) == read_back(before.data, unit):
            field.data = before.data


def _numbers(form: BaseForm) -> Iterator[NumberField]:
    for field in form:
        if isinstance(field, NumberField):
            yield field
        elif isinstance(field, RowsField):
            for row in field.rows:
                yield from _numbers(row)


def changed(before: Iterable[FieldText], after: Iterable[FieldText]) -> list[FieldText]:
    """The fields as they are after, where they differ from before.

    A field that one of the two lacks is empty there.
    """
    old, new = _by_name(before), _by_name(after)
    return [
        new.get(name) or _emptied(old[name])
        for name in {**old, **new}
        if _meant(old, name) != _meant(new, name)
    ]


def differences(
    base: Iterable[FieldText], theirs: Iterable[FieldText], mine: Iterable[FieldText]
) -> list[Difference]:
    """Where `theirs` and `mine`, both made from `base`, say different things."""
    was, stands, sent = _by_name(base), _by_name(theirs), _by_name(mine)
    found = []
    for text in changed(stands.values(), sent.values()):
        name = text["name"]
        before = _meant(was, name)
        changed_by = "both"
        if before == _meant(stands, name):
            changed_by = "mine"
        elif before == _meant(sent, name):
            changed_by = "theirs"
        theirs_shown = shown(stands.get(name))
        found.append(Difference(name, text["label"], shown(text), theirs_shown, changed_by))
    return found


def _by_name(texts: Iterable[FieldText]) -> dict[str, FieldText]:
    return {text["name"]: text for text in texts}


def _meant(texts: dict[str, FieldText], name: str) -> list[object]:
    """What to compare; a number that was not touched is what the form made of it."""
    text = texts.get(name)
    if text is None:
        return []
    unit, rows = text["unit"], [_by_name(row) for row in text.get("rows", ())]
    if unit is not None:
        return [formats().read_back(float(value), unit) for value in text["values"]]
    return [*text["values"], *([_meant(row, part) for part in row] for row in rows)]


def _emptied(text: FieldText) -> FieldText:
    emptied: FieldText = {**text, "values": [], "shown": ""}
    if "rows" in text:
        emptied["rows"] = []
    return emptied
