"""What the API answers: written as JSON, and described as JSON Schema, from one type."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass
from datetime import UTC, date, datetime
from types import NoneType, UnionType
from typing import Generic, Literal, TypeVar, get_args, get_origin, get_type_hints

from flask import Response

from app.web.api.json_forms import JSON

T = TypeVar("T")
Schema = dict[str, object]
PLAIN: dict[object, Schema] = {
    bool: {"type": "boolean"},
    int: {"type": "integer"},
    float: {"type": "number"},
    str: {"type": "string"},
    datetime: {"type": "string", "format": "date-time"},
    date: {"type": "string", "format": "date"},
    NoneType: {"type": "null"},
}


@dataclass(frozen=True, slots=True)
class Listed(Generic[T]):
    """Some of a list; `next` is the cursor of those that follow, null at the end."""

    items: Sequence[T]
    next: str | None


def answer(value: object, status: int = 200, headers: Mapping[str, str] | None = None) -> Response:
    body = json.dumps(plain(value), ensure_ascii=False, allow_nan=False)
    return Response(body, status, mimetype=JSON, headers=dict(headers or {}))


def plain(value: object) -> object:
    """As JSON holds it; a moment with its offset, in UTC where it has none of its own."""
    if isinstance(value, datetime):
        return (value if value.tzinfo else value.replace(tzinfo=UTC)).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple) and hasattr(value, "_asdict"):
        return {name: plain(part) for name, part in value._asdict().items()}
    if isinstance(value, list | tuple):
        return [plain(part) for part in value]
    return value


def schema_of(of: object, known: dict[str, Schema]) -> Schema:
    """The schema of a type; those with a name are put into `known`, and pointed at."""
    if of in PLAIN:
        return PLAIN[of]
    origin, arguments = get_origin(of), get_args(of)
    if origin is Literal:
        return {"enum": list(arguments)}
    if origin is Listed:
        return _listed(arguments[0], known)
    if origin in (list, Sequence, tuple):
        return {"type": "array", "items": schema_of(arguments[0], known)}
    if origin is UnionType:
        return {"anyOf": [schema_of(one, known) for one in arguments]}
    if not isinstance(of, type):
        raise TypeError(f"The API does not know how to describe {of}.")
    return _named(of, known)


def _named(of: type, known: dict[str, Schema]) -> Schema:
    called = of.__name__.removesuffix("Answer").removesuffix("Row")
    if called not in known:
        known[called] = {}  # so that a type may hold itself
        hints = get_type_hints(of)
        names = [f.name for f in fields(of)] if is_dataclass(of) else list(vars(of)["_fields"])
        known[called] = {
            "type": "object",
            "description": " ".join((of.__doc__ or "").split()),
            "properties": {name: schema_of(hints[name], known) for name in names},
            "required": names,
            "additionalProperties": False,
        }
    return {"$ref": f"#/components/schemas/{called}"}


def _listed(of: object, known: dict[str, Schema]) -> Schema:
    return {
        "type": "object",
        "description": " ".join((Listed.__doc__ or "").split()),
        "properties": {
            "items": {"type": "array", "items": schema_of(of, known)},
            "next": {"type": ["string", "null"]},
        },
        "required": ["items", "next"],
        "additionalProperties": False,
    }
