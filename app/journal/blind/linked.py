"""The names of the recipes and filters that a blind test points at."""

from collections.abc import Iterable
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.rows import columns_of, rows_as
from app.models import Filter, FilterPack, Recipe, RecipeRevision


class _Revision(NamedTuple):
    id: int
    name: str
    number: int


class _Filter(NamedTuple):
    id: int
    name: str
    number: int


def revision_names(session: Session, ids: Iterable[int]) -> dict[int, str]:
    """Recipes with the numbers of their revisions, by the id of the revision."""
    columns = columns_of(_Revision, RecipeRevision, name=Recipe.name)
    query = select(*columns).join(Recipe, Recipe.id == RecipeRevision.recipe_id)
    rows = rows_as(_Revision, session, query.where(RecipeRevision.id.in_(list(ids))))
    return {row.id: f"{row.name}, revision {row.number}" for row in rows}


def filter_names(session: Session, ids: Iterable[int]) -> dict[int, str]:
    """Filters as their packs number them."""
    columns = columns_of(_Filter, Filter, name=FilterPack.name)
    query = select(*columns).join(FilterPack, FilterPack.id == Filter.pack_id)
    rows = rows_as(_Filter, session, query.where(Filter.id.in_(list(ids))))
    return {row.id: f"{row.name} no. {row.number}" for row in rows}
