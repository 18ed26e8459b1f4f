"""Reads of the lists of packs and filters, a page at a time."""

from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from sqlalchemy import Select, select, type_coerce
from sqlalchemy.orm import Session

from app.journal.packs import taken_of
from app.journal.paging import DayKey, NumberedPage, Page, midnight, read_numbered, read_page
from app.journal.rows import rows_as
from app.journal.uses import last_use, uses_of
from app.models import Brew, Filter, FilterPack


class ListedPack(NamedTuple):
    """A pack with how many filters were taken out of it."""

    id: int
    name: str
    material: str
    size: int
    taken: int


def packs_page(session: Session, last_id: int | None) -> NumberedPage[ListedPack]:
    """Packs from the newest on, or from `last_id` down."""
    query = select(
        FilterPack.id,
        FilterPack.name,
        FilterPack.material,
        FilterPack.count.label("size"),
        taken_of(FilterPack).label("taken"),
    ).where(FilterPack.binned_at.is_(None))
    return read_numbered(
        lambda limited: rows_as(ListedPack, session, limited),
        query,
        FilterPack.id,
        lambda row: row.id,
        last_id,
    )


class ListedFilter(NamedTuple):
    """A filter with its uses and the day of the last."""

    id: int
    number: int
    retired_on: date | None
    pack_name: str
    uses: int
    last_on: date | None


def pack_filters(
    session: Session, pack_id: int, last_number: int | None
) -> NumberedPage[ListedFilter]:
    """A pack's filters from the newest on, or from `last_number` down."""
    return read_numbered(
        lambda limited: rows_as(ListedFilter, session, limited),
        _filter_rows().where(Filter.pack_id == pack_id),
        Filter.number,
        lambda row: row.number,
        last_number,
    )


def retired_page(session: Session, args: Mapping[str, str]) -> Page[ListedFilter]:
    """Retired filters, the latest first."""
    return read_page(
        lambda limited: rows_as(ListedFilter, session, limited),
        _filter_rows().where(Filter.retired_on.is_not(None)),
        type_coerce(Filter.retired_on, DayKey()),
        Filter.id,
        lambda row: (midnight(row.retired_on or date.min), row.id),
        args,
    )


def _filter_rows() -> Select[int, int, date | None, str, int, date | None]:
    return select(
        Filter.id,
        Filter.number,
        Filter.retired_on,
        FilterPack.name.label("pack_name"),
        (Filter.prior_uses + uses_of(Filter)).label("uses"),
        last_use(Brew.brewed_on).label("last_on"),
    ).join(FilterPack, FilterPack.id == Filter.pack_id)
