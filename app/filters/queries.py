"""Reads of packs and filters: one, or a page of their lists."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from sqlalchemy import exists, func, select, type_coerce
from sqlalchemy.orm import Session, joinedload

from app.journal.packs import filter_price, taken_of
from app.journal.paging import DayKey, NumberedPage, Page, midnight, read_numbered, read_page
from app.journal.rows import Query, columns_of, rows_as
from app.journal.tastings import mean_liking
from app.journal.uses import last_use, uses_of
from app.models import Bag, Bean, Brew, Filter, FilterPack, FilterUse

MOST_USES = 50
MOST_READ = 400


def any_pack(session: Session) -> bool:
    return bool(session.scalar(select(exists().where(FilterPack.binned_at.is_(None)))))


@dataclass(frozen=True, slots=True)
class PackTotals:
    """Filters taken out and left; uses of all of them; prices in the pack's currency."""

    taken: int
    left: int
    uses: int
    filter_price: float | None
    cup_price: float | None


def pack_totals(session: Session, pack: FilterPack) -> PackTotals:
    uses_of_each = select((Filter.prior_uses + uses_of(Filter)).label("uses"))
    taken_of_it = (Filter.pack_id == pack.id, Filter.binned_at.is_(None))
    filters = uses_of_each.where(*taken_of_it).subquery()
    query = select(func.count(), func.coalesce(func.sum(filters.c.uses), 0)).select_from(filters)
    taken, total = session.execute(query).one()
    uses, price = int(total), filter_price(pack)
    cup_price = price * taken / uses if price is not None and uses else None
    return PackTotals(taken, max(0, pack.count - taken), uses, price, cup_price)


def filter_page(session: Session, filter_id: int) -> Filter | None:
    """The filter with its pack, in the bin or not."""
    query = select(Filter).where(Filter.id == filter_id).options(joinedload(Filter.pack))
    return session.scalars(query).first()


def count_uses(session: Session, filter_id: int) -> int:
    """Uses in brews that are not in the bin; uses before the journal are not in it."""
    return session.scalar(select(uses_of(Filter)).where(Filter.id == filter_id)) or 0


class UsedIn(NamedTuple):
    """A brew that a filter was used in."""

    id: int
    brewed_on: date
    press_s: int | None
    press_effort: int | None
    bag_id: int
    bean_name: str
    liking: float | None


def latest_uses(session: Session, filter_id: int) -> list[UsedIn]:
    """The latest uses of a filter, newest first; one more than MOST_READ if there are more."""
    query = (
        select(*columns_of(UsedIn, Brew, bean_name=Bean.name, liking=mean_liking(Brew)))
        .select_from(FilterUse)
        .join(Brew, Brew.id == FilterUse.brew_id)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(FilterUse.filter_id == filter_id, Brew.binned_at.is_(None))
        .order_by(FilterUse.brewed_at.desc(), FilterUse.brew_id.desc())
        .limit(MOST_READ + 1)
    )
    return rows_as(UsedIn, session, query)


def was_used(session: Session, filter_id: int) -> bool:
    """Whether any brew, even one in the bin, went through it."""
    return bool(session.scalar(select(exists().where(FilterUse.filter_id == filter_id))))


class ListedPack(NamedTuple):
    """A pack with how many filters were taken out of it."""

    id: int
    name: str
    material: str
    size: int
    taken: int


def packs_page(session: Session, last_id: int | None) -> NumberedPage[ListedPack]:
    """Packs from the newest on, or from `last_id` down."""
    columns = columns_of(ListedPack, FilterPack, size=FilterPack.count, taken=taken_of(FilterPack))
    query = select(*columns).where(FilterPack.binned_at.is_(None))
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


def _filter_rows() -> Query:
    columns = columns_of(
        ListedFilter,
        Filter,
        pack_name=FilterPack.name,
        uses=Filter.prior_uses + uses_of(Filter),
        last_on=last_use(Brew.brewed_on),
    )
    query = select(*columns).join(FilterPack, FilterPack.id == Filter.pack_id)
    return query.where(Filter.binned_at.is_(None))
