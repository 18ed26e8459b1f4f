"""A database's tables and indexes in a form that can be compared."""

from __future__ import annotations

import re

from sqlalchemy import Connection, text

Schema = dict[str, set[str]]

CONSTRAINTS = """
SELECT c.conrelid::regclass::text, c.conname || ' ' || pg_get_constraintdef(c.oid)
FROM pg_constraint c WHERE c.connamespace = 'public'::regnamespace AND c.conrelid <> 0"""
INDEXES = """
SELECT tablename, regexp_replace(indexdef, ' ON [^ ]+ ', ' ON ')
FROM pg_indexes WHERE schemaname = 'public'"""
COLUMNS = """
SELECT table_name, concat_ws(' ', column_name, data_type, character_maximum_length,
                             is_nullable, column_default, is_identity)
FROM information_schema.columns WHERE table_schema = 'public'"""


def schema(connection: Connection) -> Schema:
    """Each table with its columns, constraints and indexes; alembic's own is left out."""
    read = _sqlite if connection.dialect.name == "sqlite" else _postgres
    return {name: parts for name, parts in read(connection).items() if name != "alembic_version"}


def triggers(connection: Connection) -> dict[str, str]:
    rows = connection.execute(text("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"))
    return {name: _plain(sql) for name, sql in rows}


def _sqlite(connection: Connection) -> Schema:
    rows = connection.execute(
        text(
            "SELECT type, tbl_name, sql FROM sqlite_master"
            " WHERE type IN ('table', 'index') AND sql IS NOT NULL"
        )
    )
    found: Schema = {}
    for kind, table, sql in rows:
        body = _plain(sql)
        parts = _parts(body[body.index("(") + 1 : -1]) if kind == "table" else [body]
        found.setdefault(table, set()).update(parts)
    return found


def _postgres(connection: Connection) -> Schema:
    found: Schema = {}
    for query in (COLUMNS, CONSTRAINTS, INDEXES):
        for table, part in connection.execute(text(query)):
            found.setdefault(table, set()).add(part)
    return found


def _plain(sql: str) -> str:
    spaced = re.sub(r"\s+", " ", sql.replace('"', "")).strip()
    return re.sub(r"\s*([(),])\s*", r"\1", spaced)


def _parts(body: str) -> list[str]:
    """What stands between the commas of a table, those inside brackets left alone."""
    parts, depth, start = [], 0, 0
    for place, char in enumerate(body):
        depth += (char == "(") - (char == ")")
        if char == "," and depth == 0:
            parts.append(body[start:place])
            start = place + 1
    return [*parts, body[start:]]
