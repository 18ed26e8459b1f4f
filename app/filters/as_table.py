"""Filters and packs as tables."""

from datetime import date
from typing import NamedTuple

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from app.journal.as_table import Column, columns
from app.journal.packs import taken_of
from app.journal.rows import columns_of, rows_as
from app.journal.uses import last_use, uses_of
from app.models import Brew, Filter, FilterPack
from app.money import from_minor


class FilterLine(NamedTuple):
    id: int
    pack_id: int
    pack: str
    material: str
    number_in_pack: int
    state: str
    uses: int
    uses_before_the_journal: int
    last_used_on: date | None
    retired_on: date | None
    rinse: str
    note: str


class PackLine(NamedTuple):
    id: int
    name: str
    material: str
    size: int
    taken_out: int
    bought_on: date | None
    filter_mass_g: float | None
    price_minor: int | None
    currency: str
    note: str


def _state(row: FilterLine, _zone: str) -> str:
    if row.retired_on:
        return "retired"
    return "in use" if row.uses else "fresh"


def _price(row: PackLine, _zone: str) -> float | None:
    return None if row.price_minor is None else from_minor(row.price_minor, row.currency)


FILTER_COLUMNS: list[Column[FilterLine]] = [
    Column("state", _state) if column.name == "state" else column
    for column in columns("filter", FilterLine)
]
PACK_COLUMNS: list[Column[PackLine]] = [
    Column("price", _price) if column.name == "price_minor" else column
    for column in columns("pack", PackLine)
]


def every_filter(session: Session, *of: ColumnElement[bool]) -> list[FilterLine]:
    """Filters taken out of their packs that `of` holds for, the last taken first."""
    named = columns_of(
        FilterLine, Filter, pack=FilterPack.name, material=FilterPack.material,
        number_in_pack=Filter.number, state=Filter.rinse, uses=Filter.prior_uses + uses_of(Filter),
        uses_before_the_journal=Filter.prior_uses, last_used_on=last_use(Brew.brewed_on),
    )  # fmt: skip
    query = select(*named).join(FilterPack, FilterPack.id == Filter.pack_id)
    query = query.where(Filter.binned_at.is_(None), *of).order_by(Filter.id.desc())
    return rows_as(FilterLine, session, query)


def every_pack(session: Session) -> list[PackLine]:
    named = columns_of(
        PackLine, FilterPack, size=FilterPack.count, taken_out=taken_of(FilterPack),
        filter_mass_g=FilterPack.mass_g,
    )  # fmt: skip
    query = select(*named).where(FilterPack.binned_at.is_(None))
    return rows_as(PackLine, session, query.order_by(FilterPack.id.desc()))
