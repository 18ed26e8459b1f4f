"""Reads of beans and bags. What is left in a bag is worked out, never stored."""

from typing import NamedTuple

from sqlalchemy import func, select
from sqlalchemy.orm import Session, joinedload, selectinload

from app.journal.bags import brewed_g, left_g
from app.journal.rows import row_as
from app.models import Bag, Bean, Brew

MOST_BEANS = 50


def bag_page(session: Session, bag_id: int) -> Bag | None:
    """The bag with its bean, its days in the freezer and its corrections."""
    query = (
        select(Bag)
        .where(Bag.id == bag_id)
        .options(joinedload(Bag.bean), selectinload(Bag.frozen), selectinload(Bag.corrections))
    )
    return session.scalars(query).first()


class BagTotals(NamedTuple):
    """All of a bag's brews in sum: how many, how many grams, and what is left."""

    brews: int
    brewed_g: float
    left_g: float | None


def totals(session: Session, bag_id: int) -> BagTotals:
    """Raises LookupError for a bag that does not exist."""
    brews = select(func.count()).where(Brew.bag_id == Bag.id, Brew.binned_at.is_(None))
    query = select(
        brews.correlate(Bag).scalar_subquery().label("brews"),
        brewed_g(Bag).label("brewed_g"),
        left_g(Bag).label("left_g"),
    )
    found = row_as(BagTotals, session, query.where(Bag.id == bag_id))
    if found is None:
        raise LookupError(bag_id)
    return found


def known_beans(session: Session, wanted: int | None = None) -> list[tuple[int, str]]:
    """The newest beans to choose from, and the one wanted, as (id, name · roaster)."""
    query = select(Bean.id, Bean.name, Bean.roaster).where(Bean.binned_at.is_(None))
    rows = list(session.execute(query.order_by(Bean.id.desc()).limit(MOST_BEANS)))
    if wanted and wanted not in {row.id for row in rows}:
        rows += session.execute(query.where(Bean.id == wanted))
    return [(row.id, " · ".join(filter(None, (row.name, row.roaster)))) for row in rows]
