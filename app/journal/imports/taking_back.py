"""Taking an import back as one: all that it added goes, and what it changed is as it was.

It is refused while a row that it added was changed since, or something that was added since refers
to one: what somebody noted here is never lost by it. Importing the file again is the way forth.
Copies of blind tests go, too, though the database keeps drawn trials from being deleted: as long as
nothing was done with such a copy here, no answer that was given here is lost.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Column, Table, delete, select, text, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from app.journal.history import TABLES, Thing, record
from app.journal.imports.noting import AT_ONCE, as_stored, chunks, digest, has_key, plain, rows_with
from app.models import Base, Change, ImportedRows, ImportLink, JournalImport
from app.models.imports import Key, Plain

MOST_NAMED = 50
TAKEN_BACK = "put back as before an import"
# What is written beside a row by the journal itself goes with it.
GOES_ALONG = {"blind_test_mark"}
# The triggers that refuse deleting, by table; on PostgreSQL marks have one for all.
SEALS = {
    "trial": "trial_not_deleted",
    "blind_test": "blind_test_not_deleted",
    "blind_packet": "blind_packet_not_deleted",
    "blind_test_mark": "blind_test_mark_not_deleted",
}
SEAL_OF_MARKS = "blind_test_mark_kept"


class Hindrance(NamedTuple):
    """A row of the import that was changed or is gone (`by_table` is empty), or that the row
    `by_key` of `by_table`, added since, refers to."""

    table: str
    key: Key
    by_table: str = ""
    by_key: Key = []  # noqa: RUF012 - never changed


class StillNeeded(Exception):
    """The import cannot be taken back, because of these; the first MOST_NAMED of them."""

    def __init__(self, hindrances: list[Hindrance]) -> None:
        super().__init__(f"{len(hindrances)} rows of the import are still needed.")
        self.hindrances = hindrances


def hindrances(session: Session, import_id: int) -> list[Hindrance]:
    """Why an import cannot be taken back, MOST_NAMED at most; empty if it can."""
    session.flush()
    found: list[Hindrance] = []
    for each in (*_changed(session, import_id), *_referring(session, import_id)):
        found.append(each)
        if len(found) == MOST_NAMED:
            break
    return found


def take_back(session: Session, import_id: int, now: datetime) -> JournalImport | None:
    """Undo the import within this transaction; None if there is none that is still in.

    Raises StillNeeded, after which the transaction has to be rolled back.
    """
    imported = session.get(JournalImport, import_id, with_for_update=True)
    if imported is None or imported.taken_back_at is not None:
        return None
    if found := hindrances(session, import_id):
        raise StillNeeded(found)
    try:
        with _seals_lifted(session):
            for table in reversed(Base.metadata.sorted_tables):
                _undo(session, import_id, table)
    except IntegrityError as error:
        raise StillNeeded([]) from error
    session.execute(delete(ImportLink).where(ImportLink.import_id == import_id))
    session.execute(delete(ImportedRows).where(ImportedRows.import_id == import_id))
    imported.taken_back_at = now
    session.flush()
    return imported


def _undo(session: Session, import_id: int, table: Table) -> None:
    for some in _noted(session, import_id, table.name):
        if some.before is not None:
            _put_back(session, table, some)
            continue
        if "id" in table.columns:
            kinds = [table.name, *(kind for kind, name in TABLES.items() if name == table.name)]
            numbers = [key[0] for key in some.keys]
            changes = delete(Change).where(Change.thing.in_(kinds), Change.row_id.in_(numbers))
            session.execute(changes)
            if table.name == "blind_test":
                marks = Base.metadata.tables["blind_test_mark"]
                session.execute(delete(marks).where(marks.c.test_id.in_(numbers)))
        session.execute(delete(table).where(has_key(table, some.keys)))


def _put_back(session: Session, table: Table, some: ImportedRows) -> None:
    columns = [table.columns[name] for name in some.columns]
    for key, values in zip(some.keys, some.before or (), strict=True):
        stored = {
            column.name: as_stored(column, value)
            for column, value in zip(columns, values, strict=True)
            if not column.primary_key
        }
        session.execute(update(table).where(has_key(table, [key])).values(stored))
        if table.name in CHANGES_NOTED and isinstance(key[0], int):
            record(session, Thing(table.name, key[0]), what=TAKEN_BACK)


# Forms of these carry a version, which an import that changes them has to raise.
CHANGES_NOTED = {
    "bag", "bean", "brew", "brewer", "filter", "filter_pack", "grinder", "question", "recipe",
    "settings", "side_by_side", "taster", "tasting", "water",
}  # fmt: skip


def _changed(session: Session, import_id: int) -> Iterator[Hindrance]:
    """Rows that are no longer as the import left them."""
    for table in Base.metadata.sorted_tables:
        for some in _noted(session, import_id, table.name):
            columns = [table.columns[name] for name in some.columns if name in table.columns]
            there = rows_with(session, table, some.keys, columns)
            for key, was in zip(some.keys, some.digests, strict=True):
                row = there.get(tuple(key))
                if row is None or digest(row) != was:
                    yield Hindrance(table.name, key)


def _referring(session: Session, import_id: int) -> Iterator[Hindrance]:
    """Rows added since that refer to rows of the import."""
    added: dict[str, set[tuple[Plain, ...]]] = {}
    for table_name, keys in session.execute(
        select(ImportedRows.table_name, ImportedRows.keys).where(
            ImportedRows.import_id == import_id, ImportedRows.before.is_(None)
        )
    ):
        added.setdefault(table_name, set()).update(tuple(key) for key in keys)
    for table, column, referred in _references():
        if referred not in added or table.name in GOES_ALONG:
            continue
        own = added.get(table.name, set())
        primary = list(table.primary_key.columns)
        for some in chunks(sorted(int(key[0] or 0) for key in added[referred]), AT_ONCE):
            query = select(column, *primary).where(column.in_(some))
            for row in session.connection().execute(query):
                key = [plain(value) for value in row[1:]]
                if tuple(key) not in own:
                    yield Hindrance(referred, [plain(row[0])], table.name, key)


def _references() -> Iterator[tuple[Table, Column[object], str]]:
    """Each column that refers to the number of a row, with the table it refers to."""
    for table in Base.metadata.sorted_tables:
        for key in sorted(table.foreign_keys, key=lambda key: key.parent.name):
            if key.column.name == "id":
                yield table, key.parent, key.column.table.name


def _noted(session: Session, import_id: int, table_name: str) -> Iterator[ImportedRows]:
    query = select(ImportedRows.id).where(
        ImportedRows.import_id == import_id, ImportedRows.table_name == table_name
    )
    for row_id in session.scalars(query.order_by(ImportedRows.id.desc())).all():
        some = session.get_one(ImportedRows, row_id)
        yield some
        session.expunge(some)  # many of them would fill the memory


@contextmanager
def _seals_lifted(session: Session) -> Iterator[None]:
    """Deleting is not refused meanwhile; if this fails, the rollback brings the triggers back."""
    if session.get_bind().dialect.name == "sqlite":
        query = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        there = {name: sql for name, sql in session.execute(text(query)) if name in SEALS.values()}
        for name in there:
            session.execute(text(f"DROP TRIGGER {name}"))
        yield
        for sql in there.values():
            session.connection().exec_driver_sql(sql)
        return
    seals = {**SEALS, "blind_test_mark": SEAL_OF_MARKS}
    for table, name in seals.items():
        session.execute(text(f"ALTER TABLE {table} DISABLE TRIGGER {name}"))
    yield
    for table, name in seals.items():
        session.execute(text(f"ALTER TABLE {table} ENABLE TRIGGER {name}"))
