"""Reads of bags. What is left in a bag is worked out, never stored."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import ColumnElement, Select, bindparam, func, select
from sqlalchemy.orm import Session

from app.journal.rest import Span
from app.journal.rows import Query, columns_of, rows_as
from app.models import Bag, BagCorrection, Bean, Brew, FrozenSpan


class OpenBag(NamedTuple):
    """A bag to brew from. `left_g` is None without a net weight, and negative when more was
    brewed than the bag held: say so instead of showing it as a weight."""

    id: int
    bean_name: str
    roaster: str
    roasted_on: date | None
    left_g: float | None


def brewed_g(bag: type[Bag]) -> ColumnElement[float]:
    """Grams of a bag that went into brews, those in the bin left out."""
    doses = select(func.sum(Brew.dose_g)).where(Brew.bag_id == bag.id, Brew.binned_at.is_(None))
    return func.coalesce(doses.correlate(bag).scalar_subquery(), 0.0)


def corrected_g(bag: type[Bag]) -> ColumnElement[float]:
    """Grams that came (+) or went (−) without a brew."""
    noted = select(func.sum(BagCorrection.grams))
    noted = noted.where(BagCorrection.bag_id == bag.id, BagCorrection.binned_at.is_(None))
    return func.coalesce(noted.correlate(bag).scalar_subquery(), 0.0)


def left_g(bag: type[Bag]) -> ColumnElement[float | None]:
    """Net weight, less doses, plus corrections."""
    return bag.net_g - brewed_g(bag) + corrected_g(bag)


def last_brewed_at(bag: type[Bag]) -> ColumnElement[datetime]:
    return (
        select(Brew.brewed_at)
        .where(Brew.bag_id == bag.id, Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(1)
        .correlate(bag)
        .scalar_subquery()
    )


def open_bags(session: Session, also: Iterable[int] = (), most: int = 30) -> list[OpenBag]:
    """Bags to brew from, newest use first, and those in `also` even if finished or binned."""
    # Picked first, weighed after: only the bags that are shown have their doses summed.
    wanted = list(session.scalars(_newest_used(), {"most": most}))
    return weighed_bags(session, [*wanted, *sorted(set(also) - set(wanted))])


def weighed_bags(session: Session, bag_ids: Sequence[int]) -> list[OpenBag]:
    """The bags asked for, in that order, with what is left in each."""
    rows = rows_as(OpenBag, session, _weighed(), {"bag_ids": bag_ids})
    by_id = {row.id: row for row in rows}
    return [by_id[bag_id] for bag_id in bag_ids if bag_id in by_id]


@cache
def _newest_used() -> Select[int]:
    """Created once: building a statement takes longer than running it."""
    last_at = last_brewed_at(Bag)
    return (
        select(Bag.id)
        .where(Bag.finished_on.is_(None), Bag.binned_at.is_(None))
        .order_by(last_at.is_(None), last_at.desc(), Bag.id.desc())
        .limit(bindparam("most"))
    )


@cache
def _weighed() -> Query:
    named = {"bean_name": Bean.name, "roaster": Bean.roaster, "left_g": left_g(Bag)}
    return (
        select(*columns_of(OpenBag, Bag, **named))
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Bag.id.in_(bindparam("bag_ids", expanding=True)))
    )


def frozen_spans(session: Session, bag_ids: Iterable[int]) -> dict[int, list[Span]]:
    """Days in the freezer (from, to) by bag; an open end is None."""
    of_these = (FrozenSpan.bag_id.in_(list(bag_ids)), FrozenSpan.binned_at.is_(None))
    query = select(FrozenSpan.bag_id, FrozenSpan.from_on, FrozenSpan.to_on).where(*of_these)
    spans: dict[int, list[Span]] = {}
    for row in session.execute(query):
        spans.setdefault(row.bag_id, []).append((row.from_on, row.to_on))
    return spans
