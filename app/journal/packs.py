"""Packs of filters: what is left, adding one, and taking a fresh filter out."""

from typing import NamedTuple

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from app.journal.bin import take_from_bin
from app.journal.rows import add_row, columns_of, rows_as
from app.models import Filter, FilterPack
from app.models.gear import PackValues
from app.money import decimals


class PackLeft(NamedTuple):
    """A pack and how many fresh filters it still holds."""

    id: int
    name: str
    material: str
    left: int


def taken_of(pack: type[FilterPack]) -> ColumnElement[int]:
    """How many filters were taken out of a pack so far; those put back are not counted."""
    out = select(func.count()).where(Filter.pack_id == pack.id, Filter.binned_at.is_(None))
    return out.correlate(pack).scalar_subquery()


def packs_with_left(session: Session) -> list[PackLeft]:
    """Packs that still hold a fresh filter, the one last taken from first."""
    left = FilterPack.count - taken_of(FilterPack)
    newest_taken = (
        select(func.max(Filter.id))
        .where(Filter.pack_id == FilterPack.id, Filter.binned_at.is_(None))
        .correlate(FilterPack)
        .scalar_subquery()
    )
    query = (
        select(*columns_of(PackLeft, FilterPack, left=left))
        .where(FilterPack.binned_at.is_(None), left > 0)
        .order_by(func.coalesce(newest_taken, 0).desc(), FilterPack.id.desc())
    )
    return rows_as(PackLeft, session, query)


def add_pack(session: Session, values: PackValues) -> FilterPack:
    return add_row(session, FilterPack(), values)


def take_fresh(session: Session, pack_id: int) -> Filter:
    """The next filter of a pack, rinsed like the one before; flushed, so that it has its id. The
    numbers of those that were put back are not given again. Raises ValueError, with a sentence to
    show, when the pack is empty or gone."""
    pack = session.scalar(select(FilterPack).where(FilterPack.id == pack_id).with_for_update())
    if pack is None or pack.binned_at is not None:
        raise ValueError("This pack is not there any more. Please choose another.")
    if taken_out(session, pack_id) >= pack.count:
        raise ValueError(f"{pack.name} is empty: all {pack.count} were taken out.")
    rinses = select(Filter.rinse).where(Filter.pack_id == pack_id, Filter.binned_at.is_(None))
    rinse = session.scalar(rinses.order_by(Filter.number.desc()).limit(1)) or "none"
    last = session.scalar(select(func.max(Filter.number)).where(Filter.pack_id == pack_id)) or 0
    fresh = Filter(pack_id=pack_id, number=last + 1, rinse=rinse)
    session.add(fresh)
    session.flush()
    return fresh


def take_again(session: Session, put_back: Filter) -> None:
    """A filter that was put back comes out of its pack once more, as it was.

    Raises ValueError, with a sentence to show, when all that the pack held are out.
    """
    lock = select(FilterPack).where(FilterPack.id == put_back.pack_id).with_for_update()
    pack = session.scalars(lock).one()
    if put_back.binned_at is not None and taken_out(session, pack.id) >= pack.count:
        raise ValueError(
            f"No. {put_back.number} stays in the bin: all {pack.count} of {pack.name} are out. "
            "Put one back that was not used, or change how many were in the pack."
        )
    take_from_bin(put_back)


def taken_out(session: Session, pack_id: int) -> int:
    out = (Filter.pack_id == pack_id, Filter.binned_at.is_(None))
    return session.scalar(select(func.count()).where(*out)) or 0


def filter_price(pack: FilterPack) -> float | None:
    """Price of one filter of a pack in whole units of its currency."""
    if pack.price_minor is None:
        return None
    return pack.price_minor / float(10 ** decimals(pack.currency)) / pack.count
