"""Reads of one pack or one filter."""

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from sqlalchemy import exists, func, select
from sqlalchemy.orm import Session, joinedload

from app.journal.packs import filter_price
from app.journal.rows import rows_as
from app.journal.tastings import mean_liking
from app.journal.uses import uses_of
from app.models import Bag, Bean, Brew, Filter, FilterPack, FilterUse

MOST_USES = 50


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
    of_pack = select((Filter.prior_uses + uses_of(Filter)).label("uses")).where(
        Filter.pack_id == pack.id
    )
    filters = of_pack.subquery()
    summed = func.coalesce(func.sum(filters.c.uses), 0)
    query = select(func.count(), summed).select_from(filters)
    taken, total = session.execute(query).one()
    uses, price = int(total), filter_price(pack)
    cup_price = price * taken / uses if price is not None and uses else None
    return PackTotals(taken, max(0, pack.count - taken), uses, price, cup_price)


def filter_page(session: Session, filter_id: int) -> Filter | None:
    """The filter with its pack."""
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
    """The latest uses of a filter, newest first; one more than MOST_USES if there are more."""
    query = (
        select(
            Brew.id,
            Brew.brewed_on,
            Brew.press_s,
            Brew.press_effort,
            Brew.bag_id,
            Bean.name.label("bean_name"),
            mean_liking(Brew).label("liking"),
        )
        .select_from(FilterUse)
        .join(Brew, Brew.id == FilterUse.brew_id)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(FilterUse.filter_id == filter_id, Brew.binned_at.is_(None))
        .order_by(FilterUse.brewed_at.desc(), FilterUse.brew_id.desc())
        .limit(MOST_USES + 1)
    )
    return rows_as(UsedIn, session, query)


def was_used(session: Session, filter_id: int) -> bool:
    """Whether any brew, even one in the bin, went through it."""
    return bool(session.scalar(select(exists().where(FilterUse.filter_id == filter_id))))
