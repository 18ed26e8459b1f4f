"""A JSON object read into the form that a page has for the same thing, with the same messages.

`schema` says of each field what is taken, from what the field itself checks.
"""

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import TypeVar

from flask import request
from wtforms import BooleanField, Field, Form, SelectField

from app.web.api.operations import Body
from app.web.api.problems import Fault, Refused
from app.web.fields import (
    DayField,
    DurationField,
    LineField,
    NumberField,
    PickField,
    StepsField,
    clean_text,
)

F = TypeVar("F", bound=Form)
Schema = dict[str, object]

JSON = "application/json"
MOST_BODY_BYTES = 64 * 1024
LARGEST_ID = 999_999_999
BEYOND = 10**15  # every bound; a larger whole number need not be told apart
WRONG_FIELDS = "Nothing was saved: see what is wrong with the parts that are named."
KINDS: dict[str, type | tuple[type, ...]] = {
    "boolean": bool, "number": (int, float), "integer": (int, float), "string": str,
    "array": list, "object": dict, "null": type(None),
}  # fmt: skip


def read_object() -> dict[str, object]:
    """The body of the request. Raises Refused where it is no JSON object."""
    if request.mimetype != JSON:
        raise Refused(415, f"Please send {JSON}.")
    try:
        sent: object = json.loads(request.get_data(), parse_constant=_refuse_constant)
    except (ValueError, RecursionError):
        raise Refused(400, "This is no JSON.") from None
    if not isinstance(sent, dict):
        raise Refused(422, WRONG_FIELDS, [Fault("#", "Please send an object.")])
    return sent


def fill(form: F, names: Iterable[str], sent: Mapping[str, object]) -> F:
    """Put into these fields what was sent of them; what does not fit is told beside them."""
    for name in names:
        field, value = form[name], sent.get(name)
        field.raw_data = ["" if value is None else str(value)]
        try:
            if value is not None:
                field.data = _taken(field, value)
            elif _is_word(field):
                field.data = ""
        except ValueError as error:
            field.data, field.process_errors = None, [str(error)]
    return form


def unknown(body: Body, sent: Mapping[str, object]) -> Iterator[Fault]:
    known = {*field_names(body), *body.others}
    for name in sorted(sent.keys() - known):
        yield Fault("#/" + name.replace("~", "~0").replace("/", "~1"), "There is no such part.")


def field_names(body: Body) -> list[str]:
    return [field.name for field in body.form() if field.name not in body.without]


def faults_of(form: Form, pointers: Mapping[str, str]) -> list[Fault]:
    """What the form says of itself, each beside what it is about."""
    found = []
    for name, messages in form.errors.items():
        pointer = pointers.get(name or "", f"#/{name}" if name else "#")
        found += [Fault(pointer, str(message)) for message in messages]
    return found


def schema(body: Body) -> Schema:
    """What `body` takes, as JSON Schema."""
    form = body.form()
    parts: Schema = {name: field_schema(form[name]) for name in field_names(body)}
    required = [name for name in parts if getattr(form[name], "required", False)]
    return {
        "type": "object",
        "properties": parts | dict(body.others),
        "required": [*required, *body.required],
        "additionalProperties": False,
    }


def field_schema(field: Field) -> Schema:
    """What one field takes; null where it may stay empty."""
    said = {"description": str(field.label.text)} | takes(field)
    if not getattr(field, "required", False) and not isinstance(field, BooleanField):
        said["type"] = [said["type"], "null"]
        if isinstance(listed := said.get("enum"), list):
            said["enum"] = [*listed, None]
    return said


def fits(value: object, kind: object) -> bool:
    """Whether a value is of this type of JSON Schema; there 2.0 is an integer."""
    if isinstance(value, bool):
        return kind == "boolean"
    if kind == "integer" and isinstance(value, float):
        return value.is_integer()
    return isinstance(value, KINDS[str(kind)])


def takes(field: Field) -> Schema:
    if isinstance(field, BooleanField):
        return {"type": "boolean"}
    if isinstance(field, NumberField | DurationField | StepsField):
        low, high = field.bounds
        whole = not isinstance(field, NumberField) or field.whole
        return {"type": "integer" if whole else "number", "minimum": low, "maximum": high}
    if isinstance(field, PickField):
        return {"type": "integer", "minimum": 1, "maximum": LARGEST_ID}
    if isinstance(field, LineField):
        return {"type": "string", "maxLength": field.longest}
    if isinstance(field, DayField):
        return {"type": "string", "format": "date"}
    if isinstance(field, SelectField):
        return {"type": "string", "enum": [str(choice[0]) for choice in field.iter_choices()]}
    raise TypeError(f"The API does not know how to read a {type(field).__name__}.")


def _is_word(field: Field) -> bool:
    """Whether it is one of a few words."""
    return isinstance(field, SelectField) and not isinstance(field, PickField | StepsField)


def _taken(field: Field, value: object) -> object:
    """The value as the field holds it; ValueError with a sentence where it does not take it."""
    kind = takes(field)["type"]
    if not fits(value, kind):
        raise ValueError(f"Please send a value of type {kind}.")
    if isinstance(value, int) and kind != "boolean":
        value = max(-BEYOND, min(value, BEYOND))
    if isinstance(field, NumberField) and isinstance(value, int | float):
        return field.within(value)
    if isinstance(field, DurationField) and isinstance(value, int | float):
        return field.within(int(value))
    if isinstance(field, PickField | StepsField) and isinstance(value, int | float):
        return _number(field, int(value))
    if isinstance(value, str):
        return _text(field, value)
    return value


def _number(field: PickField | StepsField, value: int) -> int:
    if isinstance(field, PickField) and not 1 <= value <= LARGEST_ID:
        raise ValueError("Please choose one from the list.")
    return value


def _text(field: Field, text: str) -> object:
    if isinstance(field, LineField):
        if len(text) > field.longest:
            raise ValueError(f"Keep this within {field.longest} characters.")
        return clean_text(text, field.longest)
    return field.read(text) if isinstance(field, DayField) else text


def _refuse_constant(name: str) -> object:
    raise ValueError(f"{name} is no JSON.")
