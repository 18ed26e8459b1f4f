"""Reading the brews around two brews: those of their bags and recipes, for charts and repeats.

However long the journal, only the latest brews of each bag and each recipe are read.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from sqlalchemy import BindParameter, Integer, Select, bindparam, select, union
from sqlalchemy.orm import Session, aliased

from app.models import Bag, Brew, Brewer, RecipeRevision

LATEST = 200
LATEST_FOR_REPEATS = 60

Query = Select[*tuple[Any, ...]]

# The first SETTING_COLUMNS of them in the order of settings.Settings.
BREW_COLUMNS: tuple[Any, ...] = (
    Brew.bag_id,
    Brew.brewer_id,
    Brew.grinder_id,
    Brew.grind,
    Brew.grind_setting,
    Brew.dose_g,
    Brew.water_g,
    Brew.bypass_g,
    Brew.ice_g,
    Brew.water_id,
    Brew.water_temp_c,
    Brew.steep_s,
    Brew.press_s,
    Brew.press_effort,
    Brew.flipped,
    Brew.stirs,
    Brew.beverage_g,
    Brew.tds_pct,
    Brewer.kind,
    Brew.id,
    Brew.brewed_on,
    Brew.revision_id,
    RecipeRevision.recipe_id,
    Bag.roasted_on,
)
SETTING_COLUMNS = 16


def fetch(session: Session, query: Query, values: Mapping[str, Any]) -> Sequence[Any]:
    """Rows of columns, past the part of the session that makes objects: it is not needed here."""
    return session.connection().execute(query, values).all()


def with_settings(query: Query) -> Query:
    """A query of brews with what BREW_COLUMNS need."""
    return (
        query.join(Brewer, Brewer.id == Brew.brewer_id)
        .join(Bag, Bag.id == Brew.bag_id)
        .outerjoin(RecipeRevision, RecipeRevision.id == Brew.revision_id)
    )


def brews_around(session: Session, a: Any, b: Any, over: str) -> Sequence[Any]:
    """The latest brews of each one's bag and each one's recipe, old to new.

    LATEST of those that are looked back `over`, LATEST_FOR_REPEATS of the others.
    """
    wanted = {
        "of_bag": LATEST if over == "bag" else LATEST_FOR_REPEATS,
        "of_recipe": LATEST if over == "recipe" else LATEST_FOR_REPEATS,
        "bag_a": a.bag_id,
        "bag_b": None if b.bag_id == a.bag_id else b.bag_id,
        "recipe_a": a.recipe_id,
        "recipe_b": None if b.recipe_id == a.recipe_id else b.recipe_id,
    }
    return fetch(session, _around(), wanted)


def latest_of_each(around: Sequence[Any], a: Any, b: Any) -> list[Any]:
    """The LATEST_FOR_REPEATS of each bag and recipe of the pair, old to new."""
    left = {("bag", row.bag_id): LATEST_FOR_REPEATS for row in (a, b)}
    left |= {("recipe", row.recipe_id): LATEST_FOR_REPEATS for row in (a, b) if row.recipe_id}
    found = []
    for row in reversed(around):
        owners = [key for key in (("bag", row.bag_id), ("recipe", row.recipe_id)) if left.get(key)]
        for key in owners:
            left[key] -= 1
        if owners:
            found.append(row)
    return found[::-1]


@cache
def _around() -> Query:
    """Built once: putting it together costs more than running it. None finds nothing."""
    ids = union(
        *(_latest_of_bag(bindparam(name, type_=Integer)) for name in ("bag_a", "bag_b")),
        *(_latest_of_recipe(bindparam(name, type_=Integer)) for name in ("recipe_a", "recipe_b")),
    ).subquery()
    query = with_settings(select(*BREW_COLUMNS)).where(Brew.id.in_(select(ids.c.id)))
    return query.order_by(Brew.brewed_at, Brew.id)


def _latest_of_bag(bag_id: BindParameter[int]) -> Select[int]:
    """The newest brews of a bag; a subquery of its own, for the limit's sake."""
    newest = (
        select(Brew.id)
        .where(Brew.bag_id == bag_id, Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(bindparam("of_bag", type_=Integer))
        .subquery()
    )
    return select(newest.c.id)


def _latest_of_recipe(recipe_id: BindParameter[int]) -> Select[int]:
    """The newest brews of a recipe: the newest of each revision first, and of those the newest."""
    of_revision = aliased(Brew)
    newest = (
        select(of_revision.id)
        .where(of_revision.revision_id == RecipeRevision.id, of_revision.binned_at.is_(None))
        .order_by(of_revision.brewed_at.desc(), of_revision.id.desc())
        .limit(bindparam("of_recipe", type_=Integer))
        .correlate(RecipeRevision)
    )
    merged = (
        select(Brew.id)
        .join(RecipeRevision, Brew.id.in_(newest))
        .where(RecipeRevision.recipe_id == recipe_id)
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(bindparam("of_recipe", type_=Integer))
        .subquery()
    )
    return select(merged.c.id)
