"""The document of the API as people read it: what can be asked, sent, and what comes back."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from app.web.api.json_forms import JSON, LARGEST_ID
from app.web.api.shapes import Schema


class Part(NamedTuple):
    """A parameter, or a part of a body or of an answer."""

    name: str
    kind: str
    text: str


class Chapter(NamedTuple):
    """One address and method."""

    method: str
    path: str
    summary: str
    text: str
    parameters: Sequence[Part]
    sent: Sequence[Part]
    given: str


def chapters(document: Schema) -> list[Chapter]:
    """In the order of the document."""
    found = []
    for path, methods in _object(document["paths"]).items():
        for method, said in _object(methods).items():
            found.append(_chapter(document, path, method, _object(said)))
    return found


def answers(document: Schema) -> list[tuple[str, str, list[Part]]]:
    """Every named answer: its name, what it is, its parts."""
    sent = set(_taken(document))
    return [
        (name, _text(schema), _parts(_object(schema)))
        for name, schema in _schemas(document).items()
        if name not in sent
    ]


def _chapter(document: Schema, path: str, method: str, said: Mapping[str, object]) -> Chapter:
    parameters = [
        Part(str(one["name"]), _kind(_object(one["schema"])), _text(one))
        for one in map(_object, _list(said["parameters"]))
        if one["in"] != "header"
    ]
    body = _named(said.get("requestBody"))
    sent = _parts(_object(_schemas(document)[body])) if body else []
    responses = _object(said["responses"])
    given = _kind(_schema_of(responses.get("201", responses["200"])))
    text = f"{said['summary']}. {said['description']}"
    return Chapter(method.upper(), path, str(said["summary"]), text, parameters, sent, given)


def _parts(schema: Mapping[str, object]) -> list[Part]:
    required = _list(schema.get("required", []))
    return [
        Part(name, _kind(_object(one)) + ("" if name in required else ", or left out"), _text(one))
        for name, one in _object(schema["properties"]).items()
    ]


def _kind(schema: Mapping[str, object]) -> str:
    """What a schema takes, in a few words."""
    if "$ref" in schema:
        return str(schema["$ref"]).rpartition("/")[2]
    if "anyOf" in schema:
        return " or ".join(_kind(_object(one)) for one in _list(schema["anyOf"]))
    if "enum" in schema:
        return ", ".join(f"“{one}”" for one in _list(schema["enum"]) if one)
    properties = schema.get("properties")
    if properties and "items" in _object(properties):
        items = _object(_object(_object(properties)["items"])["items"])
        return f"{_kind(items)} in items, and next"
    if schema.get("type") == "array":
        return f"list of {_kind(_object(schema['items']))}"
    kinds = schema.get("type", "object")
    words = [str(one) for one in (kinds if isinstance(kinds, list) else [kinds]) if one != "null"]
    low, high = schema.get("minimum"), schema.get("maximum")
    if high == LARGEST_ID:
        return "number of a row"
    within = f" from {low:g} to {high:g}" if _number(low) and _number(high) else ""
    longest = f" of at most {schema['maxLength']} characters" if "maxLength" in schema else ""
    return f"{schema.get('format', ' or '.join(words))}{within}{longest}"


def _taken(document: Schema) -> list[str]:
    return [
        _named(_object(said).get("requestBody"))
        for methods in _object(document["paths"]).values()
        for said in _object(methods).values()
    ]


def _named(body: object) -> str:
    return _kind(_schema_of(body)) if body else ""


def _schema_of(holder: object) -> Mapping[str, object]:
    return _object(_object(_object(_object(holder)["content"])[JSON])["schema"])


def _schemas(document: Schema) -> Mapping[str, object]:
    return _object(_object(document["components"])["schemas"])


def _text(one: object) -> str:
    return str(_object(one).get("description", "")).replace("`", "")


def _number(value: object) -> bool:
    return isinstance(value, int | float)


def _object(value: object) -> Mapping[str, object]:
    if not isinstance(value, dict):
        raise TypeError(f"{value!r} is no object.")
    return value


def _list(value: object) -> Sequence[object]:
    if not isinstance(value, list | tuple):
        raise TypeError(f"{value!r} is no list.")
    return value
