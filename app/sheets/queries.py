"""The bags that an import brought."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.journal.rows import rows_as
from app.models import Bag, Bean, Brew

MOST_BAGS = 60


class BagCame(NamedTuple):
    id: int
    bean: str
    roasted_on: date | None
    brews: int


def bags_of(session: Session, ids: Sequence[int]) -> list[BagCame]:
    """Those still there, the one brewed first on top; some dozens at most."""
    query = (
        select(Bag.id, Bean.name.label("bean"), Bag.roasted_on, func.count(Brew.id).label("brews"))
        .join(Bean, Bean.id == Bag.bean_id)
        .join(Brew, Brew.bag_id == Bag.id)
        .where(Bag.id.in_(ids[:MOST_BAGS]), Bag.binned_at.is_(None), Brew.binned_at.is_(None))
        .group_by(Bag.id, Bean.name, Bag.roasted_on)
        .order_by(func.min(Brew.brewed_at), Bag.id)
    )
    return rows_as(BagCame, session, query)
