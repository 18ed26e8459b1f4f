"""Reads of beans and bags. What is left in a bag is worked out, never stored."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from ..models import Bag, BagCorrection, Bean, Brew


@dataclass(frozen=True, slots=True)
class OpenBag:
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
    noted = select(func.sum(BagCorrection.grams)).where(BagCorrection.bag_id == bag.id)
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
    last_at = last_brewed_at(Bag)
    # Picked first, weighed after: only the bags that are shown have their doses summed.
    picked = (
        select(Bag.id)
        .where(Bag.finished_on.is_(None), Bag.binned_at.is_(None))
        .order_by(last_at.is_(None), last_at.desc(), Bag.id.desc())
        .limit(most)
    )
    wanted = list(session.scalars(picked))
    wanted += sorted(set(also) - set(wanted))
    query = (
        select(Bag.id, Bean.name, Bean.roaster, Bag.roasted_on, left_g(Bag))
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Bag.id.in_(wanted))
    )
    found = {row.id: OpenBag(*row) for row in session.execute(query)}
    return [found[bag_id] for bag_id in wanted if bag_id in found]
