"""A month in numbers. Its days are those on which things were noted, where they were noted."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from statistics import fmean
from typing import NamedTuple

from sqlalchemy import ColumnElement, Date, Float, Select, bindparam, case, cast, func, or_, select
from sqlalchemy.orm import QueryableAttribute, Session, aliased

from app.journal.rows import Query, columns_of, row_as, rows_as
from app.journal.tastings import counted
from app.models import (
    Bag,
    BlindTest,
    Brew,
    Filter,
    FilterPack,
    FilterUse,
    Taster,
    Tasting,
    local_date,
)
from app.models.base import Moment


class Span(NamedTuple):
    """Days from the first to the last, both in it."""

    first: date
    last: date

    def holds(self, day: date) -> bool:
        return self.first <= day <= self.last


class Mean(NamedTuple):
    """A taster's mean liking and of how many scores it is."""

    name: str
    liking: float
    n: int


@dataclass(frozen=True, slots=True)
class Month:
    """`reused` are uses of papers and cloths beyond each one's first; `spared_g` what that many
    new ones would have weighed, for those whose weight is noted (`weighed`)."""

    brews: int
    coffee_g: float
    water_g: float
    opened: int
    finished: int
    filters: int
    reused: int
    weighed: int
    spared_g: float
    tasted: int
    means: Sequence[Mean]
    tests_ended: int


class _Poured(NamedTuple):
    brews: int
    coffee_g: float
    water_g: float


def month_of(session: Session, span: Span, zone: str) -> Month:
    """`zone` is where a blind test is taken to have ended: they note none."""
    poured = row_as(_Poured, session, _poured(), span._asdict()) or _Poured(0, 0.0, 0.0)
    filters = rows_as(_Used, session, _used(), span._asdict())
    reused = [(max(one.uses - one.fresh, 0), one.mass_g) for one in filters if one.wears]
    scores = [one for one in rows_as(_Scored, session, _scored(), _around(span))
              if span.holds(local_date(one.tasted_at, one.zone))]  # fmt: skip
    return Month(
        poured.brews,
        poured.coffee_g,
        poured.water_g,
        _days_in(session, Bag.opened_on, span),
        _days_in(session, Bag.finished_on, span),
        len(filters),
        sum(uses for uses, _ in reused),
        sum(uses for uses, mass_g in reused if mass_g),
        sum(uses * (mass_g or 0.0) for uses, mass_g in reused),
        len({one.brew_id for one in scores}),
        _means(scores),
        _tests_ended(session, span, zone),
    )


# Statements are created once: building one takes longer than running it.


def _in_span() -> tuple[ColumnElement[bool], ...]:
    days = bindparam("first", type_=Date), bindparam("last", type_=Date)
    return Brew.brewed_on.between(*days), Brew.binned_at.is_(None)


@cache
def _poured() -> Query:
    water = Brew.water_g + Brew.bypass_g + Brew.ice_g
    grams, water_g = (
        func.coalesce(cast(func.sum(one), Float), 0.0) for one in (Brew.dose_g, water)
    )
    columns = (func.count().label("brews"), grams.label("coffee_g"), water_g.label("water_g"))
    return select(*columns).select_from(Brew).where(*_in_span())


class _Used(NamedTuple):
    """A filter used in the days: how often in them, and whether it was new before (1) or not."""

    id: int
    material: str
    mass_g: float | None
    uses: int
    fresh: int

    @property
    def wears(self) -> bool:
        return self.material != "metal"


@cache
def _used() -> Query:
    earlier, other = aliased(FilterUse), aliased(Brew)
    used_before = (
        select(earlier.brew_id)
        .join(other, other.id == earlier.brew_id)
        .where(earlier.filter_id == Filter.id, other.brewed_on < bindparam("first", type_=Date))
        .where(other.binned_at.is_(None))
        .correlate(Filter)
        .exists()
    )
    fresh = case((or_(Filter.prior_uses > 0, used_before), 0), else_=1)
    columns = columns_of(_Used, Filter, material=FilterPack.material, mass_g=FilterPack.mass_g,
                         uses=func.count(), fresh=fresh)  # fmt: skip
    return (
        select(*columns)
        .select_from(Brew)
        .join(FilterUse, FilterUse.brew_id == Brew.id)
        .join(Filter, Filter.id == FilterUse.filter_id)
        .join(FilterPack, FilterPack.id == Filter.pack_id)
        .where(*_in_span())
        .group_by(Filter.id, FilterPack.material, FilterPack.mass_g, Filter.prior_uses)
    )


class _Scored(NamedTuple):
    brew_id: int
    taster_name: str
    tasted_at: datetime
    zone: str
    liking: int | None


def _around(span: Span) -> dict[str, datetime]:
    """Moments of the days in any zone; whose day it was is settled by `local_date`."""
    first, last = (datetime.combine(day, time(), UTC) for day in span)
    return {"since": first - timedelta(days=1), "until": last + timedelta(days=2)}


@cache
def _scored() -> Query:
    ends = bindparam("since", type_=Moment), bindparam("until", type_=Moment)
    near = Tasting.tasted_at.between(*ends)
    return (
        select(*columns_of(_Scored, Tasting, taster_name=Taster.name))
        .join(Taster, Taster.id == Tasting.taster_id)
        .where(near, *counted())
        .order_by(Taster.name, Tasting.id)
    )


def _means(scores: Sequence[_Scored]) -> list[Mean]:
    """Tasters are never pooled."""
    by_name: dict[str, list[int]] = {}
    for one in scores:
        if one.liking is not None:
            by_name.setdefault(one.taster_name, []).append(one.liking)
    return [Mean(name, fmean(own), len(own)) for name, own in by_name.items()]


def _days_in(session: Session, day: QueryableAttribute[date | None], span: Span) -> int:
    return session.scalar(_counted_days(day), span._asdict()) or 0


@cache
def _counted_days(day: QueryableAttribute[date | None]) -> Select[int]:
    query = select(func.count()).select_from(Bag).where(Bag.binned_at.is_(None))
    days = bindparam("first", type_=Date), bindparam("last", type_=Date)
    return query.where(day.between(*days))


def _tests_ended(session: Session, span: Span, zone: str) -> int:
    ended = [local_date(at, zone) for at in session.scalars(_ended(), _around(span)) if at]
    return sum(span.holds(day) for day in ended)


@cache
def _ended() -> Select[datetime | None]:
    ends = bindparam("since", type_=Moment), bindparam("until", type_=Moment)
    query = select(BlindTest.stopped_at).where(BlindTest.stopped_at.between(*ends))
    return query.where(BlindTest.binned_at.is_(None))
