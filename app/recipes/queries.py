"""What the recipe pages, and the pages that pick a recipe, read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from sqlalchemy import ColumnElement, Row, func, select
from sqlalchemy.orm import Session, aliased, joinedload, selectinload

from ..fields import search_text
from ..models import Brew, Brewer, Recipe, RecipeRevision


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


def pickable_revisions(session: Session) -> Sequence[Row[int, int, str, int]]:
    """(revision_id, recipe_id, name, number) of each recipe's latest revision, by name."""
    query = (
        select(
            RecipeRevision.id.label("revision_id"),
            Recipe.id.label("recipe_id"),
            Recipe.name,
            RecipeRevision.number,
        )
        .join(Recipe, Recipe.id == RecipeRevision.recipe_id)
        .where(Recipe.binned_at.is_(None), is_latest())
        .order_by(func.lower(Recipe.name), Recipe.id)
    )
    return session.execute(query).all()


def revision(session: Session, revision_id: int) -> RecipeRevision | None:
    """One revision with its steps and its recipe."""
    query = (
        select(RecipeRevision)
        .where(RecipeRevision.id == revision_id)
        .options(joinedload(RecipeRevision.recipe), selectinload(RecipeRevision.steps))
    )
    return session.scalars(query).one_or_none()


def listed(session: Session, words: str = "") -> list[Any]:
    """Every recipe with its latest revision's numbers and its last brew, by name.

    `words` must all stand in its name or note, whatever their case and accents. A household's
    recipes are few, so they are searched here and not in the database, whose folding of letters
    knows English only.
    """
    rows = session.execute(
        select(
            Recipe.id,
            Recipe.name,
            Recipe.note,
            RecipeRevision.id.label("revision_id"),
            RecipeRevision.number,
            RecipeRevision.dose_g,
            RecipeRevision.water_g,
            RecipeRevision.bypass_g,
            RecipeRevision.ice_g,
            RecipeRevision.water_temp_c,
            RecipeRevision.steep_s,
            _last_brewed_on().label("last_on"),
        )
        .join(RecipeRevision, RecipeRevision.recipe_id == Recipe.id)
        .where(Recipe.binned_at.is_(None), is_latest())
        .order_by(func.lower(Recipe.name), Recipe.id)
    )
    wanted = search_text(words).split()
    return [row for row in rows if all(word in search_text(row.name, row.note) for word in wanted)]


def _last_brewed_on() -> ColumnElement[date]:
    each = aliased(RecipeRevision)
    newest = select(func.max(_newest_on(each))).where(each.recipe_id == Recipe.id)
    return newest.correlate(Recipe).scalar_subquery()


def _newest_on(revision: type[RecipeRevision]) -> ColumnElement[date]:
    """The day of a revision's newest brew: one step into an index."""
    return (
        select(Brew.brewed_on)
        .where(Brew.revision_id == revision.id, Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(1)
        .correlate(revision)
        .scalar_subquery()
    )


def recipe_page(session: Session, recipe_id: int) -> Recipe | None:
    """A recipe, in the bin or not, with all its revisions and their steps."""
    query = (
        select(Recipe)
        .where(Recipe.id == recipe_id)
        .options(selectinload(Recipe.revisions).selectinload(RecipeRevision.steps))
    )
    return session.scalars(query).one_or_none()


def is_brewed(session: Session, revision_id: int) -> bool:
    """Whether any brew points at the revision, one in the bin too: it may be restored."""
    query = select(Brew.id).where(Brew.revision_id == revision_id).limit(1)
    return session.scalar(query) is not None


def pickable_brewers(session: Session, kept: int | None = None) -> list[tuple[int, str]]:
    """(id, name) of brewers to pick from, by name, and of `kept` even if it is in the bin."""
    query = select(Brewer.id, Brewer.name).where(Brewer.binned_at.is_(None) | (Brewer.id == kept))
    query = query.order_by(func.lower(Brewer.name), Brewer.id)
    return [(row.id, row.name) for row in session.execute(query)]


def brewer_names(session: Session, revisions: Iterable[RecipeRevision]) -> dict[int, str]:
    """Names by id of the brewers that revisions are for, those in the bin too."""
    wanted = {revision.brewer_id for revision in revisions if revision.brewer_id}
    query = select(Brewer.id, Brewer.name).where(Brewer.id.in_(wanted))
    return {row.id: row.name for row in session.execute(query)}


def last_brewed(session: Session, recipe_id: int) -> dict[int, date]:
    """The day of each revision's newest brew, by revision id; unbrewed ones are left out."""
    query = select(RecipeRevision.id, _newest_on(RecipeRevision).label("on"))
    rows = session.execute(query.where(RecipeRevision.recipe_id == recipe_id))
    return {row.id: row.on for row in rows if row.on}
