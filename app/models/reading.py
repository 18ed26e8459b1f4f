"""All tables, parents first, and all rows of one: typed, in the order of its key, in chunks.

What is read is the same on SQLite and on PostgreSQL, whatever that sorts text by.
"""

from collections.abc import Iterator, Sequence
from typing import Any

from sqlalchemy import (
    Connection,
    ForeignKeyConstraint,
    LargeBinary,
    RowMapping,
    String,
    Table,
    collate,
    select,
)
from sqlalchemy.sql.elements import ColumnElement

from app.models import Base

ROWS = 1000
ROWS_WITH_BYTES = 10  # a photo is up to some megabytes

TABLES: tuple[Table, ...] = tuple(Base.metadata.sorted_tables)
_PLACE = {table.name: place for place, table in enumerate(TABLES)}


def points_back(table: Table) -> tuple[str, ...]:
    """Names of columns that name a row of the same table, or of one that comes later.

    They are filled in once every row is there.
    """
    return tuple(
        column.name
        for constraint in sorted(table.foreign_key_constraints, key=_name)
        if _PLACE[constraint.referred_table.name] >= _PLACE[table.name]
        for column in constraint.columns
    )


def _name(constraint: ForeignKeyConstraint) -> str:
    return str(constraint.name)


def at_once(table: Table) -> int:
    """How many of its rows are held in memory together."""
    has_bytes = any(isinstance(column.type, LargeBinary) for column in table.columns)
    return ROWS_WITH_BYTES if has_bytes else ROWS


def read(connection: Connection, table: Table) -> Iterator[Sequence[RowMapping]]:
    """Its rows in chunks, in the order of the key: numbers by size, text by code point."""
    by_code_point = "C" if connection.dialect.name == "postgresql" else "BINARY"
    order: list[ColumnElement[Any]] = [
        collate(column, by_code_point) if isinstance(column.type, String) else column
        for column in table.primary_key
    ]
    found = connection.execute(
        select(table).order_by(*order), execution_options={"yield_per": at_once(table)}
    )
    yield from found.mappings().partitions()
