"""Brewers, grinders and waters: names to choose from, and the latest brews made with one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from sqlalchemy import Row, func, or_, select
from sqlalchemy.orm import InstrumentedAttribute, Session

from app.journal.brews import ReadBrew, newest_ids, read_brews
from app.models import Brew, Brewer, Grinder, RecipeRevision, Water

LATEST_BREWS = 10

Rows = Sequence[Row[*tuple[Any, ...]]]
Gear = type[Brewer] | type[Grinder] | type[Water]
Used = InstrumentedAttribute[int] | InstrumentedAttribute[int | None]


def usual_gear(session: Session) -> tuple[int | None, int | None]:
    """Brewer and grinder of the newest brew."""
    query = select(Brew.brewer_id, Brew.grinder_id).where(Brew.binned_at.is_(None))
    newest = session.execute(query.order_by(Brew.brewed_at.desc(), Brew.id.desc()).limit(1)).first()
    return (None, None) if newest is None else (newest.brewer_id, newest.grinder_id)


def brewers(session: Session, kept: int | None) -> Rows:
    """Brewers by name, and one that is kept even if it is in the bin."""
    query = select(
        Brewer.id, Brewer.name, Brewer.kind, Brewer.capacity_g, Brewer.capacity_dose_g
    ).where(or_(Brewer.binned_at.is_(None), Brewer.id == kept))
    return session.execute(query.order_by(func.lower(Brewer.name), Brewer.id)).all()


def grinders(session: Session, kept: int | None) -> list[tuple[int, str]]:
    query = select(Grinder.id, Grinder.name)
    query = query.where(or_(Grinder.binned_at.is_(None), Grinder.id == kept))
    rows = session.execute(query.order_by(func.lower(Grinder.name), Grinder.id))
    return [(row.id, row.name) for row in rows]


def waters(session: Session) -> Rows:
    """Waters whose hardness is known, by name."""
    query = select(Water.id, Water.name, Water.hardness_mg_l, Water.alkalinity_mg_l)
    query = query.where(Water.binned_at.is_(None), Water.hardness_mg_l.is_not(None))
    return session.execute(query.order_by(func.lower(Water.name), Water.id)).all()


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


def latest_brews(session: Session, used: Used, row_id: int) -> list[ReadBrew]:
    """The newest brews whose column `used` points at a row."""
    return read_brews(session, newest_ids(session, LATEST_BREWS, used == row_id))


def grinder_names(session: Session, ids: Iterable[int | None]) -> dict[int | None, str]:
    """Names by id, those in the bin too; None is a brew without a grinder."""
    query = select(Grinder.id, Grinder.name).where(Grinder.id.in_([i for i in ids if i]))
    return {None: "No grinder noted"} | {row.id: row.name for row in session.execute(query)}


def pickable_gear(session: Session, kept: Brew | None) -> dict[str, list[tuple[int, str]]]:
    """Brewers, grinders and waters to pick from by name, and those of `kept` even if binned."""
    found = {}
    for key, model in (("brewer_id", Brewer), ("grinder_id", Grinder), ("water_id", Water)):
        wanted = model.binned_at.is_(None)
        if kept is not None and getattr(kept, key) is not None:
            wanted = wanted | (model.id == getattr(kept, key))
        query = select(model.id, model.name).where(wanted).order_by(model.name)
        found[key] = [(row.id, row.name) for row in session.execute(query)]
    return found
