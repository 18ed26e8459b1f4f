"""What the recipe pages, and the pages that pick a recipe, read."""

from datetime import date
from typing import NamedTuple

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session, aliased, selectinload

from app.journal.recipes import is_latest
from app.journal.rows import columns_of, rows_as
from app.models import Brew, Recipe, RecipeRevision
from app.text import search_text


class ListedRecipe(NamedTuple):
    """A recipe with its latest revision's numbers and the day of its last brew."""

    id: int
    name: str
    note: str
    revision_id: int
    number: int
    dose_g: float
    water_g: float
    bypass_g: float
    ice_g: float
    water_temp_c: float | None
    steep_s: int | None
    last_on: date | None


def listed(session: Session, words: str = "") -> list[ListedRecipe]:
    """Every recipe by name that has all `words` in its name or note, whatever case and accents.
    They are few, and compared here: SQLite folds the case of ASCII letters only."""
    columns = columns_of(
        ListedRecipe,
        RecipeRevision,
        id=Recipe.id,
        name=Recipe.name,
        note=Recipe.note,
        revision_id=RecipeRevision.id,
        last_on=_last_brewed_on(),
    )
    query = (
        select(*columns)
        .join(RecipeRevision, RecipeRevision.recipe_id == Recipe.id)
        .where(Recipe.binned_at.is_(None), is_latest())
        .order_by(func.lower(Recipe.name), Recipe.id)
    )
    rows = rows_as(ListedRecipe, session, query)
    wanted = search_text(words).split()
    return [row for row in rows if all(word in search_text(row.name, row.note) for word in wanted)]


def _last_brewed_on() -> ColumnElement[date]:
    revision = aliased(RecipeRevision)
    newest = select(func.max(_newest_on(revision))).where(revision.recipe_id == Recipe.id)
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


def last_brewed(session: Session, recipe_id: int) -> dict[int, date]:
    """The day of each revision's newest brew, by revision id; unbrewed ones are left out."""
    query = select(RecipeRevision.id, _newest_on(RecipeRevision).label("on"))
    rows = session.execute(query.where(RecipeRevision.recipe_id == recipe_id))
    return {row.id: row.on for row in rows if row.on}
