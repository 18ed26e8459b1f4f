"""Reads of beans and bags. What is left in a bag is worked out, never stored."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from typing import Any

from sqlalchemy import ColumnElement, Select, bindparam, func, select
from sqlalchemy.orm import Session, joinedload, selectinload

from ..brews.readings import READING_COLUMNS
from ..models import (
    Bag,
    BagCorrection,
    Bean,
    Brew,
    Brewer,
    Recipe,
    RecipeRevision,
    Tasting,
)

MOST_BREWS = 400
MOST_BEANS = 50


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
    # Picked first, weighed after: only the bags that are shown have their doses summed.
    wanted = list(session.scalars(_newest_used(), {"most": most}))
    return weighed_bags(session, [*wanted, *sorted(set(also) - set(wanted))])


def weighed_bags(session: Session, bag_ids: Sequence[int]) -> list[OpenBag]:
    """The bags asked for, in that order, with what is left in each."""
    found = {row.id: OpenBag(*row) for row in session.execute(_weighed(), {"bag_ids": bag_ids})}
    return [found[bag_id] for bag_id in bag_ids if bag_id in found]


@cache
def _newest_used() -> Select[int]:
    """Put together once: building it takes longer than running it."""
    last_at = last_brewed_at(Bag)
    return (
        select(Bag.id)
        .where(Bag.finished_on.is_(None), Bag.binned_at.is_(None))
        .order_by(last_at.is_(None), last_at.desc(), Bag.id.desc())
        .limit(bindparam("most"))
    )


@cache
def _weighed() -> Select[int, str, str, date | None, float | None]:
    return (
        select(Bag.id, Bean.name, Bean.roaster, Bag.roasted_on, left_g(Bag))
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Bag.id.in_(bindparam("bag_ids", expanding=True)))
    )


def bag_page(session: Session, bag_id: int) -> Bag | None:
    """The bag with its bean, its days in the freezer and its corrections."""
    query = (
        select(Bag)
        .where(Bag.id == bag_id)
        .options(joinedload(Bag.bean), selectinload(Bag.frozen), selectinload(Bag.corrections))
    )
    return session.scalars(query).first()


def totals(session: Session, bag_id: int) -> Any:
    """All of a bag's brews in sum: how many, how many grams, and what is left."""
    brews = select(func.count()).where(Brew.bag_id == Bag.id, Brew.binned_at.is_(None))
    query = select(
        brews.correlate(Bag).scalar_subquery().label("brews"),
        brewed_g(Bag).label("brewed_g"),
        left_g(Bag).label("left_g"),
    )
    return session.execute(query.where(Bag.id == bag_id)).one()


def brews_of_bag(session: Session, bag_id: int) -> list[Any]:
    """The latest brews from a bag, oldest of them first, with what a reading needs."""
    query = (
        select(
            Brew.id, Brew.brewed_at, Brew.brewed_on, Brew.zone,
            Recipe.name.label("recipe_name"), *READING_COLUMNS,
        )
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .outerjoin(RecipeRevision, RecipeRevision.id == Brew.revision_id)
        .outerjoin(Recipe, Recipe.id == RecipeRevision.recipe_id)
        .where(Brew.bag_id == bag_id, Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(MOST_BREWS)
    )  # fmt: skip
    return list(session.execute(query))[::-1]


def scores_of_bag(session: Session, bag_id: int, since: datetime) -> dict[int, list[Any]]:
    """Liking and whether it was blind, by brew from a moment on; tastings without are left out."""
    query = (
        select(Tasting.brew_id, Tasting.liking, Tasting.blind)
        .join(Brew, Brew.id == Tasting.brew_id)
        .where(
            Brew.bag_id == bag_id,
            Brew.brewed_at >= since,
            Tasting.binned_at.is_(None),
            Tasting.liking.is_not(None),
        )
    )
    found: dict[int, list[Any]] = {}
    for row in session.execute(query):
        found.setdefault(row.brew_id, []).append(row)
    return found


def known_beans(session: Session, wanted: int | None = None) -> list[tuple[int, str]]:
    """The newest beans to choose from, and the one wanted, as (id, name · roaster)."""
    query = select(Bean.id, Bean.name, Bean.roaster).where(Bean.binned_at.is_(None))
    rows = list(session.execute(query.order_by(Bean.id.desc()).limit(MOST_BEANS)))
    if wanted and wanted not in {row.id for row in rows}:
        rows += session.execute(query.where(Bean.id == wanted))
    return [(row.id, " · ".join(filter(None, (row.name, row.roaster)))) for row in rows]


def last_currency(session: Session) -> str:
    return session.scalar(select(Bag.currency).order_by(Bag.id.desc()).limit(1)) or "EUR"
