"""Reads of the list of bags: the open ones, and the finished ones a page at a time."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from sqlalchemy import ColumnElement, Float, Select, cast, func, select, type_coerce
from sqlalchemy.orm import Session

from app.bags.cups import LATEST_DOSES
from app.journal.bags import last_brewed_at, left_g
from app.journal.paging import DayKey, Page, Query, midnight, read_page
from app.journal.rows import rows_as
from app.journal.tastings import counted
from app.models import Bag, Bean, Brew, Tasting
from app.text import search_text

MOST_OPEN = 50

Beans = Sequence[int] | None


class Wanted(NamedTuple):
    """Which bags: of these beans, and with this verdict; None and empty are all."""

    beans: Beans
    again: str = ""


class OpenBagRow(NamedTuple):
    id: int
    bean_name: str
    roaster: str
    roasted_on: date | None
    finished_on: date | None
    buy_again: str
    left_g: float | None


class FinishedBagRow(NamedTuple):
    """A finished bag with the number of its brews and its mean liking."""

    id: int
    bean_name: str
    roaster: str
    roasted_on: date | None
    finished_on: date
    buy_again: str
    brews: int
    liking: float | None


def beans_matching(session: Session, words: str) -> Beans:
    """Beans that have every word in a name, place, process or note; None where there are no words.
    Compared here, not in the database: SQLite folds the case of ASCII letters only."""
    wanted = search_text(words).split()
    if not wanted:
        return None
    searched = (Bean.name, Bean.roaster, Bean.origin, Bean.process, Bean.note)
    found = []
    for bean_id, *texts in session.execute(select(Bean.id, *searched)):
        text = search_text(*texts)
        if all(word in text for word in wanted):
            found.append(bean_id)
    return found


def open_list(session: Session, wanted: Wanted) -> list[OpenBagRow]:
    """Open bags, last used first, up to MOST_OPEN + 1: one more than is shown tells of more."""
    last_at = last_brewed_at(Bag)
    picked = (
        narrowed(select(Bag.id), wanted)
        .where(Bag.finished_on.is_(None))
        .order_by(last_at.is_(None), last_at.desc(), Bag.id.desc())
        .limit(MOST_OPEN + 1)
    )
    ids = list(session.scalars(picked))
    query = _rows().add_columns(left_g(Bag).label("left_g")).where(Bag.id.in_(ids))
    by_id = {row.id: row for row in rows_as(OpenBagRow, session, query)}
    return [by_id[bag_id] for bag_id in ids]


def finished_page(
    session: Session, wanted: Wanted, args: Mapping[str, str]
) -> Page[FinishedBagRow]:
    """Finished bags, newest first."""
    of_bag = (Brew.bag_id == Bag.id, Brew.binned_at.is_(None))
    brews = select(func.count()).select_from(Brew).where(*of_bag).correlate(Bag).scalar_subquery()
    query = narrowed(_rows(), wanted).where(Bag.finished_on.is_not(None))
    return read_page(
        lambda limited: rows_as(FinishedBagRow, session, limited),
        query.add_columns(brews.label("brews"), mean_liking_of(Bag).label("liking")),
        type_coerce(Bag.finished_on, DayKey()),
        Bag.id,
        lambda row: (midnight(row.finished_on), row.id),
        args,
    )


def mean_liking_of(bag: type[Bag]) -> ColumnElement[float | None]:
    """A column: the mean liking of a bag's cups, those in the bin left out."""
    return (
        select(cast(func.avg(Tasting.liking), Float))
        .join(Brew, Brew.id == Tasting.brew_id)
        .where(Brew.bag_id == bag.id, Brew.binned_at.is_(None), *counted())
        .correlate(bag)
        .scalar_subquery()
    )


def latest_doses(session: Session, bag_ids: Iterable[int]) -> dict[int, list[float]]:
    """The latest few doses of each bag, in grams."""
    place = func.row_number().over(
        partition_by=Brew.bag_id, order_by=(Brew.brewed_at.desc(), Brew.id.desc())
    )
    placed = (
        select(Brew.bag_id, Brew.dose_g, place.label("place"))
        .where(Brew.bag_id.in_(list(bag_ids)), Brew.binned_at.is_(None))
        .subquery()
    )
    query = select(placed.c.bag_id, placed.c.dose_g).where(placed.c.place <= LATEST_DOSES)
    doses: dict[int, list[float]] = {}
    for bag_id, dose_g in session.execute(query):
        doses.setdefault(bag_id, []).append(dose_g)
    return doses


def _rows() -> Select[int, str, str, date | None, date | None, str]:
    bean = (Bean.name.label("bean_name"), Bean.roaster)
    query = select(Bag.id, *bean, Bag.roasted_on, Bag.finished_on, Bag.buy_again)
    return query.join(Bean, Bean.id == Bag.bean_id)


def narrowed(query: Query, wanted: Wanted) -> Query:
    """Bags not in the bin that are wanted."""
    query = query.where(Bag.binned_at.is_(None))
    if wanted.again:
        query = query.where(Bag.buy_again == wanted.again)
    return query if wanted.beans is None else query.where(Bag.bean_id.in_(wanted.beans))
