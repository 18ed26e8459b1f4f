"""How many brews each day had, by the days they were entered as."""

from datetime import date
from functools import cache
from typing import NamedTuple

from sqlalchemy import Date, Select, bindparam, func, select
from sqlalchemy.orm import Session

from app.journal.rows import Query, rows_as
from app.models import Brew


def brews_a_day(session: Session, year: int) -> dict[date, int]:
    """Days of a year with brews; those in the bin are left out."""
    days = {"first": date(year, 1, 1), "last": date(year, 12, 31)}
    return {row.on: row.brews for row in rows_as(_Day, session, _days(), days)}


class _Day(NamedTuple):
    on: date
    brews: int


@cache
def _days() -> Query:
    return (
        select(Brew.brewed_on.label("on"), func.count().label("brews"))
        .where(
            Brew.brewed_on.between(bindparam("first", type_=Date), bindparam("last", type_=Date))
        )
        .where(Brew.binned_at.is_(None))
        .group_by(Brew.brewed_on)
    )


def years(session: Session) -> tuple[int, int] | None:
    """The years of the first and of the last brew; None without any."""
    first, last = (session.scalar(query) for query in _ends())
    return (first.year, last.year) if first and last else None


@cache
def _ends() -> tuple[Select[date], Select[date]]:
    query = select(Brew.brewed_on).where(Brew.binned_at.is_(None)).limit(1)
    return query.order_by(Brew.brewed_on.asc()), query.order_by(Brew.brewed_on.desc())
