"""How many brews each day had, by the days they were entered as."""

from datetime import date

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.models import Brew


def brews_a_day(session: Session, year: int) -> dict[date, int]:
    """Days of a year with brews; those in the bin are left out."""
    query = (
        select(Brew.brewed_on, func.count())
        .where(Brew.brewed_on.between(date(year, 1, 1), date(year, 12, 31)))
        .where(Brew.binned_at.is_(None))
        .group_by(Brew.brewed_on)
    )
    return {row[0]: row[1] for row in session.execute(query)}


def years(session: Session) -> tuple[int, int] | None:
    """The years of the first and of the last brew; None without any."""
    first, last = (
        session.scalar(
            select(Brew.brewed_on).where(Brew.binned_at.is_(None)).order_by(order).limit(1)
        )
        for order in (Brew.brewed_on.asc(), Brew.brewed_on.desc())
    )
    return (first.year, last.year) if first and last else None
