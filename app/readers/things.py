"""What brews were made with, as a stranger may know it: kinds, materials, origins and amounts."""

from collections.abc import Collection
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.pairs.pair import Side
from app.journal.rows import columns_of, rows_as
from app.models import Bag, Bean, Brewer, Water


class BeanRow(NamedTuple):
    """The bean of a bag."""

    bag_id: int
    name: str
    roaster: str
    origin: str
    process: str
    robusta_pct: float
    decaf: bool


class BrewerRow(NamedTuple):
    id: int
    capacity_g: float | None


class WaterRow(NamedTuple):
    id: int
    hardness_mg_l: float | None
    alkalinity_mg_l: float | None


class Things(NamedTuple):
    """Bags, brewers and waters by their numbers."""

    beans: dict[int, BeanRow]
    brewers: dict[int, BrewerRow]
    waters: dict[int, WaterRow]


def things_of(session: Session, sides: Collection[Side]) -> Things:
    """In three statements, however many brews there are."""
    bags = {side.row.bag_id for side in sides}
    brewers = {side.row.first_brewer_id for side in sides}
    waters = {side.row.water_id for side in sides if side.row.water_id}
    beans = select(*columns_of(BeanRow, Bean, bag_id=Bag.id)).join(Bag, Bag.bean_id == Bean.id)
    return Things(
        {row.bag_id: row for row in rows_as(BeanRow, session, beans.where(Bag.id.in_(bags)))},
        {
            row.id: row
            for row in rows_as(
                BrewerRow,
                session,
                select(*columns_of(BrewerRow, Brewer)).where(Brewer.id.in_(brewers)),
            )
        },
        {
            row.id: row
            for row in rows_as(
                WaterRow, session, select(*columns_of(WaterRow, Water)).where(Water.id.in_(waters))
            )
        },
    )
