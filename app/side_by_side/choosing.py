"""Reading the brews to choose from: the one before, those of the same bag, all others."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import select, tuple_
from sqlalchemy.orm import Session

from app.journal.paging import Page, read_page
from app.journal.rows import Query, columns_of, row_as, rows_as
from app.journal.tastings import mean_liking
from app.models import Bag, Bean, Brew, Brewer

MOST_SAME_BAG = 12


class BrewChoice(NamedTuple):
    """A brew to choose, with what tells it from the others."""

    id: int
    brewed_at: datetime
    brewed_on: date
    zone: str
    bag_id: int
    dose_g: float
    water_g: float
    grind: str
    grind_setting: str
    bean_name: str
    brewer_name: str
    liking: float | None


def brew_before(session: Session, brew_id: int) -> int | None:
    """The brew before this one with the same bag, else the brew before it; None if it is first.

    Raises LookupError when there is no such brew.
    """
    this = session.execute(
        select(Brew.bag_id, Brew.brewed_at, Brew.id).where(Brew.id == brew_id)
    ).first()
    if this is None:
        raise LookupError(brew_id)
    earlier = (
        select(Brew.id)
        .where(
            Brew.binned_at.is_(None),
            tuple_(Brew.brewed_at, Brew.id) < tuple_(this.brewed_at, this.id),
        )
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(1)
    )
    same_bag = session.scalar(earlier.where(Brew.bag_id == this.bag_id))
    return same_bag if same_bag is not None else session.scalar(earlier)


def in_time(session: Session, brew_ids: Iterable[int | None]) -> list[int]:
    """Those of the brews that exist, old to new."""
    query = select(Brew.id).where(Brew.id.in_(brew_ids)).order_by(Brew.brewed_at, Brew.id)
    return list(session.scalars(query))


def one_brew(session: Session, brew_id: int) -> BrewChoice | None:
    """The brew to choose another for, in the bin or not."""
    return row_as(BrewChoice, session, _choices().where(Brew.id == brew_id))


def same_bag(session: Session, brew: BrewChoice) -> list[BrewChoice]:
    """The newest other brews of the brew's bag."""
    others = _others(brew.id).where(Brew.bag_id == brew.bag_id)
    newest = others.order_by(Brew.brewed_at.desc(), Brew.id.desc()).limit(MOST_SAME_BAG)
    return rows_as(BrewChoice, session, newest)


def others_page(session: Session, brew_id: int, args: Mapping[str, str]) -> Page[BrewChoice]:
    """A page of all other brews, new to old."""
    return read_page(
        lambda query: rows_as(BrewChoice, session, query),
        _others(brew_id),
        Brew.brewed_at,
        Brew.id,
        lambda row: (row.brewed_at, row.id),
        args,
    )


def _others(brew_id: int) -> Query:
    return _choices().where(Brew.id != brew_id, Brew.binned_at.is_(None))


@cache
def _choices() -> Query:
    names = {"bean_name": Bean.name, "brewer_name": Brewer.name, "liking": mean_liking(Brew)}
    return (
        select(*columns_of(BrewChoice, Brew, **names))
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .join(Brewer, Brewer.id == Brew.brewer_id)
    )
