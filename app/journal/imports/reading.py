"""The imports of a journal, to list them."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.rows import columns_of, row_as, rows_as
from app.models import JournalImport

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
