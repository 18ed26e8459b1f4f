"""The brews around two brews, for charts and repeats: the latest of their bags and recipes."""

from collections.abc import Sequence
from functools import cache

from sqlalchemy import BindParameter, Integer, Select, bindparam, select, union
from sqlalchemy.orm import Session, aliased

from app.journal.pairs.brews import BREW_COLUMNS, BrewRow, with_setup
from app.journal.rows import Query, rows_as
from app.models import Brew, RecipeRevision

LATEST = 200
LATEST_FOR_REPEATS = 60


def brews_around(session: Session, a: BrewRow, b: BrewRow, over: str) -> list[BrewRow]:
    """Old to new; the LATEST of what the chart runs over ("bag" or "recipe"), and the
    LATEST_FOR_REPEATS of the other."""
    values = {
        "of_bag": LATEST if over == "bag" else LATEST_FOR_REPEATS,
        "of_recipe": LATEST if over == "recipe" else LATEST_FOR_REPEATS,
        "bag_a": a.bag_id,
        "bag_b": None if b.bag_id == a.bag_id else b.bag_id,
        "recipe_a": a.recipe_id,
        "recipe_b": None if b.recipe_id == a.recipe_id else b.recipe_id,
    }
    return rows_as(BrewRow, session, _around(), values)


def latest_of_each(around: Sequence[BrewRow], a: BrewRow, b: BrewRow) -> list[BrewRow]:
    """The LATEST_FOR_REPEATS of each bag and recipe of the pair, old to new."""
    left: dict[tuple[str, int | None], int] = {
        ("bag", brew.bag_id): LATEST_FOR_REPEATS for brew in (a, b)
    }
    left |= {("recipe", brew.recipe_id): LATEST_FOR_REPEATS for brew in (a, b) if brew.recipe_id}
    latest = []
    for row in reversed(around):
        owners = [key for key in (("bag", row.bag_id), ("recipe", row.recipe_id)) if left.get(key)]
        for key in owners:
            left[key] -= 1
        if owners:
            latest.append(row)
    return latest[::-1]


@cache
def _around() -> Query:
    """Built once, as that takes longer than running it. An id that is None finds nothing."""
    ids = union(
        *(_latest_of_bag(bindparam(name, type_=Integer)) for name in ("bag_a", "bag_b")),
        *(_latest_of_recipe(bindparam(name, type_=Integer)) for name in ("recipe_a", "recipe_b")),
    ).subquery()
    query = with_setup(select(*BREW_COLUMNS)).where(Brew.id.in_(select(ids.c.id)))
    return query.order_by(Brew.brewed_at, Brew.id)


def _latest_of_bag(bag_id: BindParameter[int]) -> Select[int]:
    """The newest brews of a bag, as a subquery: SQLite takes no LIMIT in a part of a UNION."""
    newest = (
        select(Brew.id)
        .where(Brew.bag_id == bag_id, Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(bindparam("of_bag", type_=Integer))
        .subquery()
    )
    return select(newest.c.id)


def _latest_of_recipe(recipe_id: BindParameter[int]) -> Select[int]:
    """The newest brews of a recipe: those of each revision, and the newest of these."""
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
