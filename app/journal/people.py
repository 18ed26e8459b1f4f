"""Tasters that turned out to be one person: a sealed trial keeps its taster, the person follows."""

from collections.abc import Iterable

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session, aliased

from app.models import Taster


def person() -> ColumnElement[int]:
    """The taster that a row of `Taster` counts as: itself, or the one it was merged into."""
    return func.coalesce(Taster.same_as_id, Taster.id)


def called() -> ColumnElement[str]:
    """What that taster is called."""
    other = aliased(Taster)
    now = select(other.name).where(other.id == Taster.same_as_id).correlate(Taster)
    return func.coalesce(now.scalar_subquery(), Taster.name)


def people(session: Session, taster_ids: Iterable[int]) -> set[int]:
    """Who these tasters are today."""
    query = select(person()).where(Taster.id.in_(list(taster_ids)))
    return set(session.scalars(query))
