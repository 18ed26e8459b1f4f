"""Reading tastings: of given brews, latest first, and the brews nobody has tasted yet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sqlalchemy import ColumnElement, Float, cast, func, select
from sqlalchemy.orm import Session

from ..models import Brew, Taster, Tasting

JUST_RIGHT_COLUMNS = (
    Tasting.jar_strength,
    Tasting.jar_sweetness,
    Tasting.jar_acidity,
    Tasting.jar_bitterness,
    Tasting.jar_body,
    Tasting.jar_clarity,
)
TASTING_COLUMNS = (
    Tasting.id,
    Tasting.brew_id,
    Tasting.taster_id,
    Taster.name.label("taster_name"),
    Tasting.tasted_at,
    Tasting.zone,
    Tasting.blind,
    Tasting.liking,
    *JUST_RIGHT_COLUMNS,
    Tasting.words,
    Tasting.note,
)


def tastings_of_brews(session: Session, brew_ids: Iterable[int]) -> dict[int, list[Any]]:
    """Rows of TASTING_COLUMNS by brew id, first tasted first; a brew without any is left out."""
    wanted = list(brew_ids)
    if not wanted:
        return {}
    query = (
        select(*TASTING_COLUMNS)
        .join(Taster, Taster.id == Tasting.taster_id)
        .where(Tasting.brew_id.in_(wanted), Tasting.binned_at.is_(None))
        .order_by(Tasting.brew_id, Tasting.tasted_at, Tasting.id)
    )
    found: dict[int, list[Any]] = {}
    for row in session.execute(query):
        found.setdefault(row.brew_id, []).append(row)
    return found


def mean_liking(owner: type[Brew]) -> ColumnElement[float | None]:
    """A column: the mean liking of `owner`'s tastings, tastings in the bin left out."""
    return (
        select(cast(func.avg(Tasting.liking), Float))
        .where(Tasting.brew_id == owner.id, Tasting.binned_at.is_(None))
        .correlate(owner)
        .scalar_subquery()
    )
