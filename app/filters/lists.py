"""Reads of the lists of packs and filters, a page at a time."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Select, select, type_coerce
from sqlalchemy.orm import Session

from app.journal.packs import taken_of
from app.journal.paging import ROWS_A_PAGE, DayKey, Page, midnight, read_page
from app.journal.uses import last_use, uses_of
from app.models import Brew, Filter, FilterPack


def packs_page(session: Session, last_id: int | None) -> tuple[list[Any], int | None]:
    """Packs from the newest on, or from `last_id` down; and where the next page starts."""
    columns: tuple[Any, ...] = (*FilterPack.__table__.columns, taken_of(FilterPack).label("taken"))
    query = select(*columns).where(FilterPack.binned_at.is_(None))
    if last_id:
        query = query.where(FilterPack.id <= last_id)
    rows = list(session.execute(query.order_by(FilterPack.id.desc()).limit(ROWS_A_PAGE + 1)))
    return _cut(rows, "id")


def pack_filters(
    session: Session, pack_id: int, last_number: int | None
) -> tuple[list[Any], int | None]:
    """A pack's filters from the newest on, or from `last_number` down; and the next start."""
    query = filter_rows().where(Filter.pack_id == pack_id)
    if last_number:
        query = query.where(Filter.number <= last_number)
    rows = list(session.execute(query.order_by(Filter.number.desc()).limit(ROWS_A_PAGE + 1)))
    return _cut(rows, "number")


def _cut(rows: list[Any], key: str) -> tuple[list[Any], int | None]:
    more = rows[ROWS_A_PAGE:]
    return rows[:ROWS_A_PAGE], getattr(more[0], key) if more else None


def retired_page(session: Session, args: Mapping[str, str]) -> Page[Any]:
    """Retired filters, the latest first."""
    return read_page(
        lambda limited: session.execute(limited).all(),
        filter_rows().where(Filter.retired_on.is_not(None)),
        type_coerce(Filter.retired_on, DayKey()),
        Filter.id,
        lambda row: (midnight(row.retired_on), row.id),
        dict(args),
    )


def filter_rows() -> Select[Any]:
    """Filters with their uses and the day of the last."""
    columns: tuple[Any, ...] = (
        Filter.id,
        Filter.number,
        Filter.retired_on,
        FilterPack.name.label("pack_name"),
        (Filter.prior_uses + uses_of(Filter)).label("uses"),
        last_use(Brew.brewed_on).label("last_on"),
    )
    return select(*columns).join(FilterPack, FilterPack.id == Filter.pack_id)
