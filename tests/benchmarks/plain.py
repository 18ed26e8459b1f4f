"""What a page handed to its template, as plain structures: the least it could have handed over.

Rows become named tuples; dataclasses and table rows become bare objects that hold their values,
properties worked out beforehand. (Dictionaries would flatter the page: Jinja asks an object's
attributes first, so `row.name` on a dictionary costs it an exception.) Numbers, texts and dates,
functions, WTForms forms and what Flask itself adds stay as they are.
"""

from __future__ import annotations

from collections import namedtuple
from dataclasses import fields, is_dataclass
from functools import cache, cached_property
from types import SimpleNamespace
from typing import Any

from sqlalchemy import Row, inspect

from app.models import Base


def plain(value: Any, seen: dict[int, Any] | None = None) -> Any:
    seen = {} if seen is None else seen
    if id(value) in seen:
        return seen[id(value)]
    if isinstance(value, Row):
        return _named(tuple(value._fields))(*(plain(part, seen) for part in value))
    if isinstance(value, dict) and type(value) is dict:
        return {key: plain(part, seen) for key, part in value.items()}
    if isinstance(value, list):
        return [plain(part, seen) for part in value]
    if isinstance(value, tuple):
        parts = [plain(part, seen) for part in value]
        return type(value)(*parts) if hasattr(value, "_fields") else tuple(parts)
    if isinstance(value, Base):
        return _bare(value, inspect(value).dict.keys(), seen)
    if is_dataclass(value) and not isinstance(value, type):
        return _bare(value, [field.name for field in fields(value)], seen)
    return value


def _bare(value: Any, names: Any, seen: dict[int, Any]) -> SimpleNamespace:
    bare = seen[id(value)] = SimpleNamespace()
    for name in [*names, *_worked_out(type(value))]:
        if not name.startswith("_sa_"):
            setattr(bare, name, plain(getattr(value, name), seen))
    for name in _methods(type(value)):
        setattr(bare, name, getattr(value, name))
    return bare


@cache
def _named(names: tuple[str, ...]) -> Any:
    return namedtuple("_named", names)  # type: ignore[misc]


@cache
def _worked_out(kind: type) -> list[str]:
    return [
        name
        for owner in kind.__mro__
        for name, value in vars(owner).items()
        if isinstance(value, property | cached_property)
    ]


@cache
def _methods(kind: type) -> list[str]:
    """Methods a template may call stay those of the object itself."""
    if issubclass(kind, Base):
        return []
    return [name for name, value in vars(kind).items() if callable(value) and name[0] != "_"]
