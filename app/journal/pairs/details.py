"""Reading what belongs to the brews of a comparison: scores and recipe steps."""

from collections.abc import Iterable
from functools import cache
from typing import NamedTuple

from sqlalchemy import Float, bindparam, cast, func, select
from sqlalchemy.orm import Session

from app.journal.rows import Query, columns_of, rows_as
from app.journal.tastings import counted
from app.models import Step, Tasting


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


def mean_likings(session: Session, brew_ids: Iterable[int]) -> dict[int, dict[int, float]]:
    """Mean liking by brew, then taster; brews without a score are left out."""
    likings: dict[int, dict[int, float]] = {}
    for row in rows_as(MeanLiking, session, _likings(), {"ids": sorted(brew_ids)}):
        likings.setdefault(row.brew_id, {})[row.taster_id] = row.liking
    return likings


@cache
def _likings() -> Query:
    return (
        select(*columns_of(MeanLiking, Tasting, liking=cast(func.avg(Tasting.liking), Float)))
        .where(
            Tasting.brew_id.in_(bindparam("ids", expanding=True)),
            *counted(),
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
        select(*columns_of(StepRow, Step))
        .where(Step.revision_id.in_(bindparam("ids", expanding=True)))
        .order_by(Step.revision_id, Step.position)
    )
