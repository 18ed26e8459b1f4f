"""The OpenAPI 3.1 document of the API, made from the routes and what they say of themselves."""

import re
from collections.abc import Iterator

from flask import Flask
from werkzeug.routing import Rule

from app.web.api import json_forms, once
from app.web.api.operations import SCOPES, Operation, operation_of
from app.web.api.problems import MIMETYPE, PREFIX
from app.web.api.shapes import Schema, schema_of

VERSION = "1"
ARGUMENT = re.compile(r"<(?:\w+:)?(\w+)>")
METHODS = ("GET", "POST")
ABOUT = (
    "Log brews and tastings and read the journal from scripts. Amounts are in the units of their "
    "names: _g grams, _s seconds, _c degrees Celsius, _pct percent, _mg_l milligrams a litre. "
    "Times carry their offset. A list goes on at `next`, sent as `cursor`."
)
PROBLEM: Schema = {
    "type": "object",
    "description": "What went wrong, as RFC 9457 writes it.",
    "properties": {
        "type": {"type": "string"},
        "title": {"type": "string"},
        "status": {"type": "integer"},
        "detail": {"type": "string"},
        "errors": {
            "type": "array",
            "items": {
                "type": "object",
                "properties": {"pointer": {"type": "string"}, "detail": {"type": "string"}},
                "required": ["pointer", "detail"],
            },
        },
    },
    "required": ["type", "title", "status", "detail"],
}
EVERYWHERE = {
    401: "No token, or one that is not valid.",
    403: "The token may not do this, or not from this address.",
    429: "Too many requests with this token.",
    503: "The journal is busy or being restored: try again.",
}
OF_BODIES = {
    400: "No JSON.",
    409: "Something else was saved with this key.",
    413: "Too large.",
    415: "Another type than application/json.",
}


def document(app: Flask) -> Schema:
    """Made anew for each request: a request takes longer."""
    known: dict[str, Schema] = {"Problem": PROBLEM}
    paths: dict[str, dict[str, Schema]] = {}
    for path, method, rule in described(app):
        found = operation_of(app, rule.endpoint)
        if found is not None:
            paths.setdefault(path, {})[method.lower()] = _operation(rule, found, known)
    return {
        "openapi": "3.1.0",
        "info": {"title": "Oddcup journal", "version": VERSION, "description": ABOUT},
        "servers": [{"url": "/"}],
        "security": [{"token": []}],
        "paths": paths,
        "components": {
            "schemas": known,
            "securitySchemes": {"token": {"type": "http", "scheme": "bearer"}},
        },
    }


def described(app: Flask) -> Iterator[tuple[str, str, Rule]]:
    """Path, method and route of everything the API does, by path."""
    for rule in sorted(app.url_map.iter_rules(), key=lambda one: one.rule):
        if rule.rule.startswith(PREFIX):
            for method in METHODS:
                if method in (rule.methods or ()):
                    yield ARGUMENT.sub(r"{\1}", rule.rule), method, rule


def _operation(rule: Rule, of: Operation, known: dict[str, Schema]) -> Schema:
    said: Schema = {
        "operationId": rule.endpoint.removeprefix("api_").replace(".", "_"),
        "summary": of.summary,
        "description": f"Needs a token that may {SCOPES[of.scope]}.",
        "parameters": [*_parameters(rule, of)],
        "responses": _responses(rule, of, known),
    }
    if of.takes is not None:
        known[of.takes.name] = json_forms.schema(of.takes)
        pointed = {"$ref": f"#/components/schemas/{of.takes.name}"}
        said["requestBody"] = {"required": True, "content": {json_forms.JSON: {"schema": pointed}}}
    return said


def _parameters(rule: Rule, of: Operation) -> Iterator[Schema]:
    for name in ARGUMENT.findall(rule.rule):
        number = {"type": "integer", "minimum": 1, "maximum": json_forms.LARGEST_ID}
        yield {"name": name, "in": "path", "required": True, "schema": number}
    for field in of.query() if of.query else ():
        schema = json_forms.takes(field)
        said = {"description": str(field.label.text), "required": False, "schema": schema}
        yield {"name": field.name, "in": "query"} | said
    if of.takes is not None:
        key = once.KEY_SCHEMA | {"type": "string"}
        yield {"name": once.HEADER, "in": "header", "required": False, "schema": key}


def _responses(rule: Rule, of: Operation, known: dict[str, Schema]) -> Schema:
    gives: Schema = {"content": {json_forms.JSON: {"schema": schema_of(of.gives, known)}}}
    problem: Schema = {"content": {MIMETYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}}}
    refusals = dict(EVERYWHERE)
    if rule.arguments:
        refusals[404] = "There is no such row."
    if of.query or of.takes:
        refusals[422] = "Something that was sent does not fit; `errors` says what."
    said: dict[int, Schema] = {200: gives | {"description": "As asked for."}}
    if of.takes is not None:
        refusals |= OF_BODIES
        said = {201: gives | {"description": "Saved."}}
        said[200] = gives | {"description": "It was saved before, with the same key."}
    said |= {status: problem | {"description": text} for status, text in refusals.items()}
    return {str(status): said[status] for status in sorted(said)}
