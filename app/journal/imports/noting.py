"""Noting an import: which rows it added or changed, and what stood in them.

In the transaction that imports: `begin`, then after the rows of a table were written `note_added`
(and `note_changed` for rows that were there), then nothing more. Taking back is in `taking_back`.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC, date, datetime
from itertools import islice
from typing import TypeVar

from sqlalchemy import Column, ColumnElement, Row, Table, select, tuple_
from sqlalchemy.orm import Session

from app.models import ImportedRows, JournalImport
from app.models.base import Moment
from app.models.imports import Key, Plain

AT_ONCE = 500
T = TypeVar("T")


def begin(session: Session, kind: str, file_name: str) -> JournalImport:
    """A new import ("package" or "sheet") that has added nothing yet; flushed, so with its id.

    When and by which device: as `writing()` notes it in the session.
    """
    imported = JournalImport(
        kind=kind,
        file_name=file_name.strip()[:300] or "a file",
        imported_at=session.info.get("now") or datetime.now(UTC),
        device=session.info.get("device", ""),
        counts={},
    )
    session.add(imported)
    session.flush()
    return imported


def note_added(
    session: Session, imported: JournalImport, table: Table, keys: Iterable[int | Key]
) -> None:
    """The rows with these primary keys were added by the import, and are in the journal now."""
    added = _note(session, imported, table, keys, None)
    if added:
        counted = dict(imported.counts)
        counted[table.name] = counted.get(table.name, 0) + added
        imported.counts = counted
        session.flush()


def note_changed(
    session: Session, imported: JournalImport, table: Table, before: Mapping[tuple[Plain, ...], Key]
) -> None:
    """The import changed these rows; `before` is what stood in all their columns, by key, as
    `plain` writes it."""
    _note(session, imported, table, (list(key) for key in before), before)


def _note(
    session: Session,
    imported: JournalImport,
    table: Table,
    keys: Iterable[int | Key],
    before: Mapping[tuple[Plain, ...], Key] | None,
) -> int:
    session.flush()
    count = 0
    listed: Iterator[Key] = ([key] if isinstance(key, int) else key for key in keys)
    for some in chunks(listed, AT_ONCE):
        there = rows_with(session, table, some, list(table.columns))
        found = [key for key in some if tuple(key) in there]
        session.add(
            ImportedRows(
                import_id=imported.id,
                table_name=table.name,
                columns=table.columns.keys(),
                keys=found,
                digests=[digest(there[tuple(key)]) for key in found],
                before=before and [before[tuple(key)] for key in found],
            )
        )
        session.flush()
        count += len(found)
    return count


def rows_with(
    session: Session, table: Table, keys: Sequence[Key], columns: Sequence[Column[object]]
) -> dict[tuple[Plain, ...], Row[*tuple[object, ...]]]:
    """The rows that are there, by key. A few hundred keys at most."""
    primary = list(table.primary_key.columns)
    query = select(*primary, *columns).where(has_key(table, keys))
    width = len(primary)
    return {
        tuple(plain(value) for value in row[:width]): row[width:]  # type: ignore[misc]
        for row in session.connection().execute(query).all()
    }


def has_key(table: Table, keys: Sequence[Key]) -> ColumnElement[bool]:
    primary = list(table.primary_key.columns)
    if len(primary) == 1:
        return primary[0].in_([key[0] for key in keys])
    return tuple_(*primary).in_([tuple(key) for key in keys])


def digest(values: Iterable[object]) -> str:
    """The same on both databases for the same values."""
    text = json.dumps([plain(value) for value in values], ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def plain(value: object) -> Plain:
    """A value of a column as JSON can hold it; `as_stored` makes it a value again."""
    if value is None or isinstance(value, str | int | float | bool):
        return value
    if isinstance(value, date):  # a moment is one, too
        return value.isoformat()
    if isinstance(value, bytes):
        return base64.b64encode(value).decode("ascii")
    return json.dumps(value, sort_keys=True, ensure_ascii=False)


def as_stored(column: Column[object], value: Plain) -> object:
    """What `plain` made, as the column takes it."""
    if value is None or not isinstance(value, str):
        return value
    if isinstance(column.type, Moment):
        return datetime.fromisoformat(value)
    kind = column.type.python_type
    if issubclass(kind, date):
        return date.fromisoformat(value)
    if issubclass(kind, bytes):
        return base64.b64decode(value)
    return value if issubclass(kind, str) else json.loads(value)


def chunks(items: Iterable[T], size: int) -> Iterator[list[T]]:
    rest = iter(items)
    while some := list(islice(rest, size)):
        yield some
