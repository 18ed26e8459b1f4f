"""Reading the brews around two brews: those of their bags and recipes, for charts and repeats.

However long the journal, at most LATEST brews of each bag and each recipe are read.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sqlalchemy import ColumnElement, Select, case, func, select, union
from sqlalchemy.orm import Session, aliased

from ..brews.readings import READING_COLUMNS
from ..filters.uses import uses_before
from ..models import Bag, Brew, Brewer, Filter, FilterPack, FilterUse, RecipeRevision, Step, Tasting

LATEST = 200

Query = Select[*tuple[Any, ...]]

BREW_COLUMNS: tuple[Any, ...] = (
    Brew.id,
    Brew.brewed_on,
    Brew.bag_id,
    Brew.water_id,
    Brew.revision_id,
    Brew.grind_setting,
    Brew.press_effort,
    Brew.flipped,
    Brew.stirs,
    *READING_COLUMNS,
    RecipeRevision.recipe_id,
    Bag.roasted_on,
)


def with_settings(query: Query) -> Query:
    return (
        query.join(Brewer, Brewer.id == Brew.brewer_id)
        .join(Bag, Bag.id == Brew.bag_id)
        .outerjoin(RecipeRevision, RecipeRevision.id == Brew.revision_id)
    )


def brews_around(session: Session, a: Any, b: Any) -> list[Any]:
    """The latest LATEST brews of each one's bag and each one's recipe, old to new."""
    ids = union(
        *(_latest(Brew.bag_id == bag_id) for bag_id in sorted({a.bag_id, b.bag_id})),
        *(_latest_of_recipe(recipe_id) for recipe_id in (a.recipe_id, b.recipe_id) if recipe_id),
    ).subquery()
    query = with_settings(select(*BREW_COLUMNS)).where(Brew.id.in_(select(ids.c.id)))
    return list(session.execute(query.order_by(Brew.brewed_at, Brew.id)))


def _latest(wanted: ColumnElement[bool]) -> Query:
    """The newest brews of a bag or revision; a subquery of its own, for the limit's sake."""
    newest = (
        select(Brew.id)
        .where(wanted, Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(LATEST)
        .subquery()
    )
    return select(newest.c.id)


def _latest_of_recipe(recipe_id: int) -> Query:
    """The newest brews of a recipe: the newest of each revision first, and of those the newest."""
    of_revision = aliased(Brew)
    newest = (
        select(of_revision.id)
        .where(of_revision.revision_id == RecipeRevision.id, of_revision.binned_at.is_(None))
        .order_by(of_revision.brewed_at.desc(), of_revision.id.desc())
        .limit(LATEST)
        .correlate(RecipeRevision)
    )
    merged = (
        select(Brew.id)
        .join(RecipeRevision, Brew.id.in_(newest))
        .where(RecipeRevision.recipe_id == recipe_id)
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(LATEST)
        .subquery()
    )
    return select(merged.c.id)


def mean_likings(session: Session, brew_ids: Iterable[int]) -> dict[int, dict[int, float]]:
    """Mean liking by brew, then taster; brews without a score are left out."""
    query = (
        select(Tasting.brew_id, Tasting.taster_id, func.avg(Tasting.liking))
        .where(
            Tasting.brew_id.in_(sorted(brew_ids)),
            Tasting.binned_at.is_(None),
            Tasting.liking.is_not(None),
        )
        .group_by(Tasting.brew_id, Tasting.taster_id)
    )
    found: dict[int, dict[int, float]] = {}
    for brew_id, taster_id, mean in session.execute(query):
        found.setdefault(brew_id, {})[taster_id] = float(mean)
    return found


def steps_of(session: Session, revision_ids: Iterable[int]) -> dict[int, list[Any]]:
    query = (
        select(Step.revision_id, Step.kind, Step.starts_s, Step.lasts_s, Step.grams)
        .where(Step.revision_id.in_(sorted(revision_ids)))
        .order_by(Step.revision_id, Step.position)
    )
    found: dict[int, list[Any]] = {}
    for row in session.execute(query):
        found.setdefault(row.revision_id, []).append(row)
    return found


def stacks_of(session: Session, brew_ids: Iterable[int]) -> dict[int, list[Any]]:
    """Material, pack and use number of each brew's filters; metal ones are not counted through."""
    number = Filter.prior_uses + uses_before(FilterUse) + 1
    query = (
        select(
            FilterUse.brew_id,
            FilterPack.material,
            FilterPack.id.label("pack_id"),
            case((FilterPack.material != "metal", number), else_=None).label("number"),
        )
        .join(Filter, Filter.id == FilterUse.filter_id)
        .join(FilterPack, FilterPack.id == Filter.pack_id)
        .where(FilterUse.brew_id.in_(sorted(brew_ids)))
        .order_by(FilterUse.brew_id, FilterUse.position)
    )
    found: dict[int, list[Any]] = {}
    for row in session.execute(query):
        found.setdefault(row.brew_id, []).append(row)
    return found
