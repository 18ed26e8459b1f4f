"""What a sent brew form points at must be there: asked for by id, without reading the lists."""

from __future__ import annotations

from functools import cache
from typing import Any

from sqlalchemy import Select, bindparam, or_, select
from sqlalchemy.orm import Session
from wtforms import Field

from app.brews.forms import BrewForm, FilterField
from app.models import Bag, Brew, Brewer, Filter, Grinder, RecipeRevision, Water

PICKED: dict[str, Any] = {
    "bag_id": Bag,
    "brewer_id": Brewer,
    "grinder_id": Grinder,
    "water_id": Water,
    "revision_id": RecipeRevision,
}


def name_missing(session: Session, form: BrewForm, kept: Brew | None) -> bool:
    """Put a message beside every pick that is not there (any more); true if there was none.

    A brew that is changed may keep what was binned or retired since.
    """
    given = {name: form[name].data for name in PICKED}
    held = {f"kept_{name}": getattr(kept, name, None) for name in PICKED if name != "revision_id"}
    found = session.execute(_found(), given | held).one()
    missing = [form[name] for name in PICKED if given[name] and not getattr(found, name)]
    missing += _missing_filters(session, form, kept)
    for field in missing:
        _complain(field)
    return not missing


def _missing_filters(session: Session, form: BrewForm, kept: Brew | None) -> list[FilterField]:
    slots = [form.filter_1, form.filter_2, form.filter_3]
    wanted = {slot: slot.choice.filter_id for slot in slots if slot.choice}
    ids = [filter_id for filter_id in wanted.values() if filter_id]
    if not ids:
        return []
    own = [use.filter_id for use in kept.stack] if kept else []
    usable = or_(Filter.retired_on.is_(None), Filter.id.in_(own))
    there = set(session.scalars(select(Filter.id).where(Filter.id.in_(ids), usable)))
    return [slot for slot, filter_id in wanted.items() if filter_id and filter_id not in there]


def _complain(field: Field) -> None:
    field.errors = [*field.errors, "Please choose one from the list."]


@cache
def _found() -> Select[*tuple[Any, ...]]:
    columns = []
    for name, model in PICKED.items():
        row = select(model.id).where(model.id == bindparam(name))
        if model is not RecipeRevision:
            row = row.where(or_(model.binned_at.is_(None), model.id == bindparam(f"kept_{name}")))
        columns.append(row.scalar_subquery().label(name))
    return select(*columns)
