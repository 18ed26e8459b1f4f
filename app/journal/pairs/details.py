"""Reading what belongs to the brews of a comparison: scores, recipe steps, filters."""

from collections.abc import Iterable
from functools import cache
from typing import NamedTuple

from sqlalchemy import Float, bindparam, case, cast, func, select
from sqlalchemy.orm import Session

from app.journal.rows import Query, rows_as
from app.journal.uses import uses_before
from app.models import Filter, FilterPack, FilterUse, Step, Tasting


class MeanLiking(NamedTuple):
    brew_id: int
    taster_id: int
    liking: float


class StepRow(NamedTuple):
    """A step of a recipe, as its brew compares it."""

    revision_id: int
    kind: str
    starts_s: int | None
    lasts_s: int | None
    grams: float | None


class UsedFilter(NamedTuple):
    """A filter of a brew; the `number` of its use is None for metal, which is not counted."""

    brew_id: int
    material: str
    pack_id: int
    pack_name: str
    number: int | None


def mean_likings(session: Session, brew_ids: Iterable[int]) -> dict[int, dict[int, float]]:
    """Mean liking by brew, then taster; brews without a score are left out."""
    likings: dict[int, dict[int, float]] = {}
    for row in rows_as(MeanLiking, session, _likings(), {"ids": sorted(brew_ids)}):
        likings.setdefault(row.brew_id, {})[row.taster_id] = row.liking
    return likings


@cache
def _likings() -> Query:
    return (
        select(
            Tasting.brew_id,
            Tasting.taster_id,
            cast(func.avg(Tasting.liking), Float).label("liking"),
        )
        .where(
            Tasting.brew_id.in_(bindparam("ids", expanding=True)),
            Tasting.binned_at.is_(None),
            Tasting.liking.is_not(None),
        )
        .group_by(Tasting.brew_id, Tasting.taster_id)
    )


def steps_of(session: Session, revision_ids: Iterable[int]) -> dict[int, list[StepRow]]:
    """The steps of recipe revisions, in order."""
    steps: dict[int, list[StepRow]] = {}
    for row in rows_as(StepRow, session, _steps(), {"ids": sorted(revision_ids)}):
        steps.setdefault(row.revision_id, []).append(row)
    return steps


@cache
def _steps() -> Query:
    return (
        select(Step.revision_id, Step.kind, Step.starts_s, Step.lasts_s, Step.grams)
        .where(Step.revision_id.in_(bindparam("ids", expanding=True)))
        .order_by(Step.revision_id, Step.position)
    )


def stacks_of(session: Session, brew_ids: Iterable[int]) -> dict[int, list[UsedFilter]]:
    """The filters of each brew, in the order of the stack; brews without any are left out."""
    stacks: dict[int, list[UsedFilter]] = {}
    for row in rows_as(UsedFilter, session, _stacks(), {"ids": sorted(brew_ids)}):
        stacks.setdefault(row.brew_id, []).append(row)
    return stacks


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
