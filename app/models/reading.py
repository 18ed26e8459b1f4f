"""All tables, parents first, and all rows of one: typed, in the order of its key, in chunks.

What is read is the same on SQLite and on PostgreSQL, whatever that sorts text by.
"""

from collections.abc import Iterator, Sequence

from sqlalchemy import (
    ColumnElement,
    Connection,
    ForeignKeyConstraint,
    LargeBinary,
    RowMapping,
    Select,
    String,
    Table,
    select,
)

from app.models import Base

Ordering = ColumnElement[str] | ColumnElement[object]

ROWS = 1000
ROWS_WITH_BYTES = 10  # a photo is up to some megabytes

PARENTS_FIRST: tuple[Table, ...] = tuple(Base.metadata.sorted_tables)
_PLACE = {table.name: place for place, table in enumerate(PARENTS_FIRST)}


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


def in_order(query: Select[*tuple[object, ...]], table: Table, dialect: str) -> list[Ordering]:
    """By primary key, texts by their characters' numbers, whatever order a server prefers."""
    names = "C" if dialect == "postgresql" else "BINARY"
    order: list[Ordering] = []
    for key in table.primary_key.columns:
        column = query.selected_columns[key.name]
        order.append(column.collate(names) if isinstance(key.type, String) else column)
    return order


def read(connection: Connection, table: Table) -> Iterator[Sequence[RowMapping]]:
    """Its rows, in order, as many at a time as may be held in memory."""
    query = select(table)
    ordered = query.order_by(*in_order(query, table, connection.dialect.name))
    found = connection.execute(ordered, execution_options={"yield_per": at_once(table)})
    yield from found.mappings().partitions()
