"""Rows with names and types, and values put into the columns of the same names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import TYPE_CHECKING, Any, TypeVar

from sqlalchemy import CursorResult, Select, SQLColumnExpression
from sqlalchemy.orm import Session

from app.models.base import Base

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

Query = Select[*tuple[Any, ...]]
R = TypeVar("R", bound=tuple[object, ...])
Added = TypeVar("Added", bound=Base)
S = TypeVar("S", bound=tuple[object, ...])
Values = TypeVar("Values", bound="DataclassInstance")


def columns_of(
    row_type: type[tuple[object, ...]], table: type[Base], **others: SQLColumnExpression[object]
) -> list[SQLColumnExpression[object]]:
    """What to select for `row_type`, in order: the table's columns, and the `others` by name."""
    return [
        others[name].label(name) if name in others else getattr(table, name)
        for name in vars(row_type)["_fields"]
    ]


def rows_as(
    row_type: type[R], session: Session, query: Query, values: Mapping[str, object] | None = None
) -> list[R]:
    """The query's rows as `row_type`, a NamedTuple; TypeError if its fields are not the columns."""
    result = _execute(session, query, values)
    _check(tuple(result.keys()), row_type)
    return [tuple.__new__(row_type, row) for row in result.all()]


def row_as(
    row_type: type[R], session: Session, query: Query, values: Mapping[str, object] | None = None
) -> R | None:
    """The query's only row, if there is one."""
    return next(iter(rows_as(row_type, session, query, values)), None)


def split_rows(
    first: type[R],
    second: type[S],
    session: Session,
    query: Query,
    values: Mapping[str, object] | None = None,
) -> list[tuple[R, S]]:
    """As `rows_as`, but two NamedTuples a row: the columns of `first`, then those of `second`."""
    result = _execute(session, query, values)
    _check(tuple(result.keys()), first, second)
    split = len(vars(first)["_fields"])
    return [
        (tuple.__new__(first, row[:split]), tuple.__new__(second, row[split:]))
        for row in result.all()
    ]


def _execute(
    session: Session, query: Query, values: Mapping[str, object] | None
) -> CursorResult[*tuple[object, ...]]:
    """Straight to the connection: the session would look for objects to make in every row."""
    session.flush()
    return session.connection().execute(query, values or {})


def _check(columns: tuple[str, ...], *row_types: type[tuple[object, ...]]) -> None:
    names = tuple(name for row_type in row_types for name in vars(row_type)["_fields"])
    if columns != names:
        types = " and ".join(row_type.__name__ for row_type in row_types)
        raise TypeError(f"The fields of {types} are not the columns {list(columns)}.")


def set_columns(row: Base, values: DataclassInstance) -> None:
    """Give the columns of `row` what the dataclass holds under their names."""
    for field in fields(values):
        setattr(row, field.name, getattr(values, field.name))


def add_row(session: Session, row: Added, values: DataclassInstance) -> Added:
    """Add a new row with these values; flushed, so that it has its id."""
    set_columns(row, values)
    session.add(row)
    session.flush()
    return row


def values_of(row: Base, of: type[Values]) -> Values:
    """The columns of `row` as the dataclass that names them."""
    return of(**{field.name: getattr(row, field.name) for field in fields(of)})
