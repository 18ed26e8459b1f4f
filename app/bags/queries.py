"""Reads of beans and bags. What is left in a bag is worked out, never stored."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session, joinedload, selectinload

from app.journal.bags import brewed_g, left_g
from app.journal.estimates import ESTIMATE_COLUMNS
from app.models import Bag, Bean, Brew, Brewer, Recipe, RecipeRevision, Tasting

MOST_BREWS = 400
MOST_BEANS = 50


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
    """The latest brews from a bag, oldest of them first, with what a estimate needs."""
    query = (
        select(
            Brew.id, Brew.brewed_at, Brew.brewed_on, Brew.zone,
            Recipe.name.label("recipe_name"), *ESTIMATE_COLUMNS,
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
