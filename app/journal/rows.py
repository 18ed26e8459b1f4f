"""Rows with names and types: what a query selects, as the NamedTuple that describes it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from sqlalchemy import Select
from sqlalchemy.orm import Session

R = TypeVar("R", bound=tuple[object, ...])


def rows_as(
    row_type: type[R],
    session: Session,
    query: Select[*tuple[object, ...]],
    values: Mapping[str, object] | None = None,
) -> list[R]:
    """The query's rows as `row_type`, a NamedTuple whose fields are the query's columns.

    Raises TypeError where the names of the columns are not the fields, in order.
    """
    result = session.execute(query, values or {})
    if tuple(result.keys()) != vars(row_type)["_fields"]:
        raise TypeError(f"{row_type.__name__} does not have the columns {list(result.keys())}.")
    return [tuple.__new__(row_type, row) for row in result]


def row_as(
    row_type: type[R],
    session: Session,
    query: Select[*tuple[object, ...]],
    values: Mapping[str, object] | None = None,
) -> R | None:
    """The query's only row, if there is one."""
    return next(iter(rows_as(row_type, session, query, values)), None)
