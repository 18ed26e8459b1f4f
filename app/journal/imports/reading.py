"""The imports of a journal, to list them."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.rows import columns_of, row_as, rows_as
from app.models import ImportedRows, JournalImport

MOST_LISTED = 50


class ImportRow(NamedTuple):
    id: int
    kind: str
    file_name: str
    imported_at: datetime
    device: str
    counts: dict[str, int]
    taken_back_at: datetime | None


def latest_imports(session: Session) -> list[ImportRow]:
    """The newest first, those that were taken back among them."""
    query = select(*columns_of(ImportRow, JournalImport)).order_by(JournalImport.id.desc())
    return rows_as(ImportRow, session, query.limit(MOST_LISTED))


def import_row(session: Session, import_id: int) -> ImportRow | None:
    query = select(*columns_of(ImportRow, JournalImport)).where(JournalImport.id == import_id)
    return row_as(ImportRow, session, query)


def keys_of(session: Session, import_id: int, table_name: str) -> list[int]:
    """The numbers of the rows of a table that an import added."""
    query = select(ImportedRows.keys).where(
        ImportedRows.import_id == import_id,
        ImportedRows.table_name == table_name,
        ImportedRows.before.is_(None),
    )
    return [int(key[0]) for keys in session.scalars(query) for key in keys if key[0] is not None]
