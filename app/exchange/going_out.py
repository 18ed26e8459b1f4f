"""Writing the journal as a data package: one zip, whose bytes depend on nothing but the journal.

Rows go through in pieces, so that a journal of any size needs little memory.
"""

from __future__ import annotations

import csv
import io
import json
import os
import tempfile
import zipfile
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import IO

from sqlalchemy import Column, ColumnElement, Row, String, Table, cast, literal, select
from sqlalchemy.orm import Session

from app.exchange.cells import Cell, cell_of
from app.exchange.descriptor import DESCRIPTOR, descriptor, path_of
from app.exchange.sealed import rows_of
from app.exchange.tables import BROWSERS, is_file, travelling
from app.file.opened import sync_folder
from app.models.reading import in_order
from app.revisions import head

AT_ONCE = 1000
FILES_AT_ONCE = 10
FILES = "photos"
LONG_AGO = (1980, 1, 1, 0, 0, 0)  # of every file: the earliest that a zip can hold
RIGHTS = 0o600 << 16


class _Browsers:
    """Numbers the browsers of trials in the order in which they come."""

    def __init__(self) -> None:
        self._known: dict[object, str] = {}

    def cell(self, value: object) -> str:
        if value is None:
            return ""
        return self._known.setdefault(value, f"browser {len(self._known) + 1}")


def write_package(session: Session, uuid: str, file: IO[bytes], now: datetime) -> None:
    """Write the package of the journal as the session sees it into a file that can seek.

    `uuid` is the journal's identity. Raises OSError.
    """
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as package:
        _write(session, uuid, package, now)


def write_to(session: Session, uuid: str, target: Path, now: datetime) -> None:
    """The same into a new file, which is there whole or not at all. Raises OSError."""
    handle, partial = tempfile.mkstemp(dir=target.parent, prefix=".package-", suffix=".partial")
    part = Path(partial)
    try:
        with os.fdopen(handle, "wb+") as file:
            write_package(session, uuid, file, now)
            file.flush()
            os.fsync(file.fileno())
        os.link(part, target)  # refused where something came there meanwhile
        sync_folder(target.parent)
    finally:
        part.unlink(missing_ok=True)


def _write(session: Session, uuid: str, package: zipfile.ZipFile, now: datetime) -> None:
    text = json.dumps(descriptor(uuid, head()), ensure_ascii=False, indent=1) + "\n"
    package.writestr(_entry(DESCRIPTOR), text.encode())
    browsers = _Browsers()
    for table in travelling():
        for path, content in files_of(session, table):
            package.writestr(_entry(path), content)
        with package.open(_entry(path_of(table)), "w") as entry:
            lines = io.TextIOWrapper(entry, "utf-8", newline="")
            writer = csv.writer(lines, lineterminator="\n")
            writer.writerow(column.name for column in table.columns)
            cells = [_cell(table, column, browsers) for column in table.columns]
            for row in rows(session, table, now):
                writer.writerow([cell(value) for cell, value in zip(cells, row, strict=True)])
            lines.flush()
            lines.detach()


def _cell(table: Table, column: Column[object], browsers: _Browsers) -> Cell:
    if (table.name, column.name) in BROWSERS:
        return browsers.cell
    return str if is_file(column) else cell_of(column)


def rows(session: Session, table: Table, now: datetime) -> Iterator[Row[*tuple[object, ...]]]:
    """The rows that travel, in the package's order; instead of a file its path."""
    query = rows_of(table, now)
    if any(is_file(column) for column in table.columns):
        query = select(*(_path(table) if is_file(c) else c for c in table.columns))
    order = in_order(query, table, session.get_bind().dialect.name)
    streamed = {"yield_per": AT_ONCE}
    yield from session.connection().execute(query.order_by(*order), execution_options=streamed)


def files_of(session: Session, table: Table) -> Iterator[tuple[str, bytes]]:
    """Path and content of each file of a table, one after the other."""
    for column in filter(is_file, table.columns):
        query = select(_path(table), column).order_by(table.c.id)
        streamed = {"yield_per": FILES_AT_ONCE}
        found = session.connection().execute(query, execution_options=streamed)
        yield from ((path, content) for path, content in found)


def _path(table: Table) -> ColumnElement[str]:
    return literal(f"{FILES}/{table.name}-") + cast(table.c.id, String) + literal(".jpg")


def _entry(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name, LONG_AGO)
    entry.compress_type = zipfile.ZIP_DEFLATED
    entry.create_system = 3
    entry.external_attr = RIGHTS
    return entry
