"""Addresses are written into links as Werkzeug writes them, though only when a link needs them."""

from __future__ import annotations

from flask import Flask
from werkzeug.routing import BuildError, Map, MapAdapter, Rule

VALUES = {"id": 7, "int": 3, "string": "a b/ü", "path": "css/page one.css", "any": None}


def _values(rule: Rule) -> dict[str, object]:
    found: dict[str, object] = {}
    for name, converter in rule._converters.items():
        kind = type(converter).__name__.removesuffix("Converter").lower()
        of_any = next(iter(getattr(converter, "items", ())), None)
        found[name] = VALUES[{"unicode": "string", "integer": "int"}.get(kind, kind)] or of_any
    return found


def test_every_link_is_what_werkzeug_writes(app: Flask) -> None:
    ours = list(app.url_map.iter_rules())
    plain = Map(
        [Rule(rule.rule, endpoint=rule.endpoint, methods=rule.methods) for rule in ours],
        converters=app.url_map.converters,
        strict_slashes=app.url_map.strict_slashes,
    )
    here, there = app.url_map.bind("localhost"), plain.bind("localhost")
    assert len(ours) > 200
    for rule in ours:
        asked = {**_values(rule), "more": ["x&y", "z"]}
        for values in (asked, {"more": 1}):
            assert _built(here, rule, values) == _built(there, rule, values), rule


def _built(adapter: MapAdapter, rule: Rule, values: dict[str, object]) -> str:
    try:
        return adapter.build(rule.endpoint, values)
    except BuildError:
        return "no such address"
