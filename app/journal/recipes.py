"""Reads of recipes and their revisions."""

from typing import NamedTuple

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session, aliased, joinedload, selectinload

from app.journal.rows import columns_of, rows_as
from app.models import Brew, Recipe, RecipeRevision


def is_latest() -> ColumnElement[bool]:
    """Holds for the newest revision of a recipe."""
    other = aliased(RecipeRevision)
    newest = (
        select(func.max(other.number))
        .where(other.recipe_id == RecipeRevision.recipe_id)
        .correlate(RecipeRevision)
        .scalar_subquery()
    )
    return RecipeRevision.number == newest


class PickableRevision(NamedTuple):
    revision_id: int
    recipe_id: int
    name: str
    number: int


def pickable_revisions(session: Session) -> list[PickableRevision]:
    """Each recipe's latest revision, by the recipe's name."""
    named = {"revision_id": RecipeRevision.id, "name": Recipe.name}
    query = (
        select(*columns_of(PickableRevision, RecipeRevision, **named))
        .join(Recipe, Recipe.id == RecipeRevision.recipe_id)
        .where(Recipe.binned_at.is_(None), is_latest())
        .order_by(func.lower(Recipe.name), Recipe.id)
    )
    return rows_as(PickableRevision, session, query)


def revision(session: Session, revision_id: int) -> RecipeRevision | None:
    """One revision with its steps and its recipe."""
    query = (
        select(RecipeRevision)
        .where(RecipeRevision.id == revision_id)
        .options(joinedload(RecipeRevision.recipe), selectinload(RecipeRevision.steps))
    )
    return session.scalars(query).one_or_none()


def is_brewed(session: Session, revision_id: int) -> bool:
    """Whether any brew points at the revision, one in the bin too: it may be restored."""
    query = select(Brew.id).where(Brew.revision_id == revision_id).limit(1)
    return session.scalar(query) is not None
