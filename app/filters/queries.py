"""Reads of one pack or one filter, and taking a fresh filter out of its pack."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, exists, func, select
from sqlalchemy.orm import Session, joinedload

from ..models import Bag, Bean, Brew, Filter, FilterPack, FilterUse
from ..money import decimals
from ..tastings.queries import mean_liking
from .uses import uses_of

MOST_USES = 50


@dataclass(frozen=True, slots=True)
class PackLeft:
    """A pack and how many fresh filters it still holds."""

    id: int
    name: str
    material: str
    left: int


def taken_of(pack: type[FilterPack]) -> ColumnElement[int]:
    """How many filters were taken out of a pack so far."""
    return select(func.count()).where(Filter.pack_id == pack.id).correlate(pack).scalar_subquery()


def packs_with_left(session: Session) -> list[PackLeft]:
    """Packs that still hold a fresh filter, the one last taken from first."""
    left = FilterPack.count - taken_of(FilterPack)
    newest_taken = (
        select(func.max(Filter.id))
        .where(Filter.pack_id == FilterPack.id)
        .correlate(FilterPack)
        .scalar_subquery()
    )
    query = (
        select(FilterPack.id, FilterPack.name, FilterPack.material, left)
        .where(FilterPack.binned_at.is_(None), left > 0)
        .order_by(func.coalesce(newest_taken, 0).desc(), FilterPack.id.desc())
    )
    return [PackLeft(*row) for row in session.execute(query)]


def take_fresh(session: Session, pack_id: int) -> Filter:
    """The next filter of a pack, rinsed like the one before; flushed, so that it has its id.

    Raises ValueError, with a sentence to show, when the pack is empty or gone.
    """
    pack = session.scalar(select(FilterPack).where(FilterPack.id == pack_id).with_for_update())
    if pack is None or pack.binned_at is not None:
        raise ValueError("This pack is not there any more. Please choose another.")
    own = Filter.pack_id == pack_id
    last = session.scalar(select(Filter).where(own).order_by(Filter.number.desc()).limit(1))
    if taken_out(session, pack_id) >= pack.count:
        raise ValueError(f"{pack.name} is empty: all {pack.count} were taken out.")
    fresh = Filter(
        pack_id=pack_id,
        number=last.number + 1 if last else 1,
        rinse=last.rinse if last else "none",
    )
    session.add(fresh)
    session.flush()
    return fresh


def taken_out(session: Session, pack_id: int) -> int:
    return session.scalar(select(func.count()).where(Filter.pack_id == pack_id)) or 0


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
    own = of_pack.subquery()
    query = select(func.count(), func.coalesce(func.sum(own.c.uses), 0)).select_from(own)
    taken, total = session.execute(query).one()
    uses, price = int(total), filter_price(pack)
    cup_price = price * taken / uses if price is not None and uses else None
    return PackTotals(taken, max(0, pack.count - taken), uses, price, cup_price)


def filter_price(pack: FilterPack) -> float | None:
    """Price of one filter of a pack in whole units of its currency."""
    if pack.price_minor is None:
        return None
    return pack.price_minor / float(10 ** decimals(pack.currency)) / pack.count


def filter_page(session: Session, filter_id: int) -> Filter | None:
    """The filter with its pack."""
    query = select(Filter).where(Filter.id == filter_id).options(joinedload(Filter.pack))
    return session.scalars(query).first()


def count_uses(session: Session, filter_id: int) -> int:
    """Uses in brews that are not in the bin; uses before the journal are not in it."""
    return session.scalar(select(uses_of(Filter)).where(Filter.id == filter_id)) or 0


def latest_uses(session: Session, filter_id: int) -> Sequence[Any]:
    """The latest uses of a filter, newest first; one more than MOST_USES if there are more."""
    columns: tuple[Any, ...] = (
        Brew.id,
        Brew.brewed_on,
        Brew.press_s,
        Brew.press_effort,
        Brew.bag_id,
        Bean.name.label("bean_name"),
        mean_liking(Brew).label("liking"),
    )
    query = (
        select(*columns)
        .select_from(FilterUse)
        .join(Brew, Brew.id == FilterUse.brew_id)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(FilterUse.filter_id == filter_id, Brew.binned_at.is_(None))
        .order_by(FilterUse.brewed_at.desc(), FilterUse.brew_id.desc())
        .limit(MOST_USES + 1)
    )
    return session.execute(query).all()


def was_used(session: Session, filter_id: int) -> bool:
    """Whether any brew, even one in the bin, went through it."""
    return bool(session.scalar(select(exists().where(FilterUse.filter_id == filter_id))))


def last_currency(session: Session) -> str:
    newest = select(FilterPack.currency).order_by(FilterPack.id.desc()).limit(1)
    return session.scalar(newest) or "EUR"
