"""All rows of a journal, read with the types its tables have."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, MetaData, create_engine

# Columns a later revision took away on purpose; what they held has a test of its own.
TAKEN_AWAY = {
    "blind_taster": {"token_hash"},
    "trial": {"brew_a_id", "brew_b_id"},
    "question": {"factor"},
}

Rows = dict[str, list[dict[str, Any]]]


def read_rows(url: str) -> Rows:
    """Each table's rows in a steady order; the revision is left out."""
    engine = create_engine(url)
    with engine.connect() as connection:
        found = {
            table.name: [
                {name: _plain(value) for name, value in row._mapping.items()}
                for row in connection.execute(table.select().order_by(*table.primary_key))
            ]
            for table in _tables(connection)
        }
    engine.dispose()
    return found


def write_rows(url: str, rows: Rows) -> None:
    """Put rows into an empty journal, parents first."""
    engine = create_engine(url)
    with engine.begin() as connection:
        for table in _tables(connection):
            if rows[table.name]:
                connection.execute(table.insert(), rows[table.name])
    engine.dispose()


def lasting(rows: Rows) -> Rows:
    """The rows without the columns that a later revision took away."""
    return {
        table: [
            {name: row[name] for name in row if name not in TAKEN_AWAY.get(table, ())}
            for row in found
        ]
        for table, found in rows.items()
    }


def kept(before: Rows, after: Rows) -> Rows:
    """`after` cut down to the tables and columns of `before`, to be compared with it."""
    return {
        table: [{name: row[name] for name in row if name in (before[table] or [row])[0]}
                for row in after[table]]
        for table in before
    }  # fmt: skip


def _tables(connection: Connection) -> list[Any]:
    metadata = MetaData()
    metadata.reflect(connection)
    return [table for table in metadata.sorted_tables if table.name != "alembic_version"]


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
    return bytes(value) if isinstance(value, memoryview) else value
