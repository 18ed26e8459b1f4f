"""Rows with names and types, and values put into the columns of the same names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import TYPE_CHECKING, TypeVar

from sqlalchemy import Select
from sqlalchemy.orm import Session

from app.models.base import Base

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

R = TypeVar("R", bound=tuple[object, ...])
Values = TypeVar("Values", bound="DataclassInstance")


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


def set_columns(row: Base, values: DataclassInstance) -> None:
    """Give the columns of `row` what the dataclass holds under their names."""
    for field in fields(values):
        setattr(row, field.name, getattr(values, field.name))


def values_of(row: Base, of: type[Values]) -> Values:
    """The columns of `row` as the dataclass that names them."""
    return of(**{field.name: getattr(row, field.name) for field in fields(of)})
