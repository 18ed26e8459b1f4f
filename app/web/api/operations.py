"""What an address of the API does, said once: for the gate, for the view and for the document."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from flask import Flask
from wtforms import Form

SCOPES = {
    "may_read": "read the journal",
    "may_log_brews": "log brews",
    "may_log_tastings": "log tastings",
    "may_read_tests": "read blind tests",
}
_OPERATION = "api_operation"

View = TypeVar("View", bound=Callable[..., Any])


@dataclass(frozen=True)
class Operation:
    """`gives` is the type of the answer, `query` the form that reads the address's parameters,
    `takes` what a body may hold."""

    scope: str
    summary: str
    gives: object
    query: type[Form] | None = None
    takes: "Body | None" = None


@dataclass(frozen=True)
class Body:
    """A JSON object: the fields of a form but for some, and others by their own schemas."""

    name: str
    form: type[Form]
    without: frozenset[str]
    others: Mapping[str, Mapping[str, object]]
    required: tuple[str, ...] = ()


def operation(
    scope: str,
    summary: str,
    gives: object,
    *,
    query: type[Form] | None = None,
    takes: Body | None = None,
) -> Callable[[View], View]:
    """Mark a view; the rest follows from it."""

    def mark(view: View) -> View:
        setattr(view, _OPERATION, Operation(scope, summary, gives, query, takes))
        return view

    return mark


def operation_of(app: Flask, endpoint: str | None) -> Operation | None:
    """None for an address that there is not, and for those open to every token."""
    view = app.view_functions.get(endpoint or "")
    found: Operation | None = getattr(view, _OPERATION, None)
    return found
