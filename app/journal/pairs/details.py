"""Reading what hangs on the brews of a comparison: scores, recipe steps, filters."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import Any

from sqlalchemy import bindparam, case, func, select
from sqlalchemy.orm import Session

from app.journal.pairs.around import Query, fetch
from app.journal.uses import uses_before
from app.models import Filter, FilterPack, FilterUse, Step, Tasting


def mean_likings(session: Session, brew_ids: Iterable[int]) -> dict[int, dict[int, float]]:
    """Mean liking by brew, then taster; brews without a score are left out."""
    found: dict[int, dict[int, float]] = {}
    for brew_id, taster_id, mean in fetch(session, _likings(), {"ids": sorted(brew_ids)}):
        found.setdefault(brew_id, {})[taster_id] = float(mean)
    return found


@cache
def _likings() -> Query:
    return (
        select(Tasting.brew_id, Tasting.taster_id, func.avg(Tasting.liking))
        .where(
            Tasting.brew_id.in_(bindparam("ids", expanding=True)),
            Tasting.binned_at.is_(None),
            Tasting.liking.is_not(None),
        )
        .group_by(Tasting.brew_id, Tasting.taster_id)
    )


def steps_of(session: Session, revision_ids: Iterable[int]) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = {}
    for row in fetch(session, _steps(), {"ids": sorted(revision_ids)}):
        found.setdefault(row.revision_id, []).append(row)
    return found


@cache
def _steps() -> Query:
    return (
        select(Step.revision_id, Step.kind, Step.starts_s, Step.lasts_s, Step.grams)
        .where(Step.revision_id.in_(bindparam("ids", expanding=True)))
        .order_by(Step.revision_id, Step.position)
    )


def stacks_of(session: Session, brew_ids: Iterable[int]) -> dict[int, list[Any]]:
    """Material, pack and use number of each brew's filters; uses of metal ones are not counted."""
    found: dict[int, list[Any]] = {}
    for row in fetch(session, _stacks(), {"ids": sorted(brew_ids)}):
        found.setdefault(row.brew_id, []).append(row)
    return found


@cache
def _stacks() -> Query:
    number = Filter.prior_uses + uses_before(FilterUse) + 1
    return (
        select(
            FilterUse.brew_id,
            FilterPack.material,
            FilterPack.id.label("pack_id"),
            FilterPack.name.label("pack_name"),
            case((FilterPack.material != "metal", number), else_=None).label("number"),
        )
        .join(Filter, Filter.id == FilterUse.filter_id)
        .join(FilterPack, FilterPack.id == Filter.pack_id)
        .where(FilterUse.brew_id.in_(bindparam("ids", expanding=True)))
        .order_by(FilterUse.brew_id, FilterUse.position)
    )
