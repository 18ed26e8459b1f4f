"""Bags beside each other: the scored cups of a few, and a year's scores by month."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.journal.bags import frozen_spans
from app.journal.brews import ReadBrew, read_brews
from app.journal.rest import rest_on
from app.journal.rows import columns_of, rows_as
from app.journal.scores import Score, scores_of_brews
from app.journal.tastings import counted
from app.models import Bag, Bean, Brew, Taster, Tasting

BAGS_A_PAGE = 9
CUPS_A_BAG = 40  # the latest


class BagRow(NamedTuple):
    id: int
    bean_name: str
    roasted_on: date | None
    opened_on: date | None
    buy_again: str


@dataclass(frozen=True, slots=True)
class Cup:
    """A brew, its rest in days where the roast day is known, and its scores, all tasters'."""

    brew: ReadBrew
    rest: int | None
    scores: Sequence[Score]

    @property
    def use(self) -> int | None:
        """The use of its most used paper or cloth."""
        return max((use.number for use in self.brew.stack if use.wears), default=None)


def bags_before(session: Session, before: int | None) -> list[BagRow]:
    """Bags with a brew, the newest entered first; one more than a page has, if there is."""
    brewed = select(Brew.id).where(Brew.bag_id == Bag.id, Brew.binned_at.is_(None)).exists()
    query = (
        select(*columns_of(BagRow, Bag, bean_name=Bean.name))
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Bag.binned_at.is_(None), brewed)
        .order_by(Bag.id.desc())
        .limit(BAGS_A_PAGE + 1)
    )
    return rows_as(BagRow, session, query if before is None else query.where(Bag.id < before))


def cups_of(session: Session, bags: Sequence[BagRow]) -> dict[int, list[Cup]]:
    """The latest cups of each bag, oldest first, by bag."""
    ids = [bag.id for bag in bags]
    brews = read_brews(session, _latest(session, ids))[::-1]
    spans = frozen_spans(session, ids)
    roasted = {bag.id: bag.roasted_on for bag in bags}
    by_brew: dict[int, list[Score]] = {}
    for score in scores_of_brews(session, [brew.row.id for brew in brews]):
        by_brew.setdefault(score.brew_id, []).append(score)
    cups: dict[int, list[Cup]] = {bag_id: [] for bag_id in ids}
    for brew in brews:
        bag_id = brew.row.bag_id
        rest = rest_on(brew.row.brewed_on, roasted[bag_id], spans.get(bag_id, ()))
        cups[bag_id].append(Cup(brew, rest.days if rest else None, by_brew.get(brew.row.id, [])))
    return cups


def _latest(session: Session, bag_ids: Sequence[int]) -> list[int]:
    newest_first = (Brew.brewed_at.desc(), Brew.id.desc())
    place = func.row_number().over(partition_by=Brew.bag_id, order_by=newest_first)
    placed = (
        select(Brew.id, place.label("place"))
        .where(Brew.bag_id.in_(bag_ids), Brew.binned_at.is_(None))
        .subquery()
    )
    return list(session.scalars(select(placed.c.id).where(placed.c.place <= CUPS_A_BAG)))


class DayScore(NamedTuple):
    """The scores of one taster on one day of brewing."""

    taster_id: int
    taster_name: str
    brewed_on: date
    liking: float
    n: int


def scores_of_year(session: Session, year: int) -> list[DayScore]:
    """Means by day of the brew and taster, oldest first."""
    columns = columns_of(
        DayScore, Brew, taster_id=Tasting.taster_id, taster_name=Taster.name,
        liking=func.avg(Tasting.liking), n=func.count(),
    )  # fmt: skip
    query = (
        select(*columns)
        .join(Tasting, Tasting.brew_id == Brew.id)
        .join(Taster, Taster.id == Tasting.taster_id)
        .where(Brew.brewed_on.between(date(year, 1, 1), date(year, 12, 31)))
        .where(Brew.binned_at.is_(None), *counted(), Tasting.liking.is_not(None))
        .group_by(Tasting.taster_id, Taster.name, Brew.brewed_on)
        .order_by(Brew.brewed_on)
    )
    return rows_as(DayScore, session, query)
