"""Tastings of given brews, and who tastes."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import Any

from sqlalchemy import ColumnElement, Float, Select, bindparam, cast, func, select
from sqlalchemy.orm import Session

from app.models import Brew, Taster, Tasting
from app.text import search_text


def taster_named(session: Session, name: str) -> int:
    """The taster of this name, back from the bin if need be, or a new one."""
    wanted = search_text(name)
    for taster in session.scalars(
        select(Taster).order_by(Taster.binned_at.is_not(None), Taster.id)
    ):
        if search_text(taster.name) == wanted:
            taster.binned_at = None
            return taster.id
    taster = Taster(name=name)
    session.add(taster)
    session.flush()
    return taster.id


LOOK_BACK = 200


JUST_RIGHT_COLUMNS: tuple[Any, ...] = (
    Tasting.jar_strength,
    Tasting.jar_sweetness,
    Tasting.jar_acidity,
    Tasting.jar_bitterness,
    Tasting.jar_body,
    Tasting.jar_clarity,
)


TASTING_COLUMNS: tuple[Any, ...] = (
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
    found: dict[int, list[Any]] = {}
    for row in session.execute(_of_brews(), {"ids": wanted}):
        found.setdefault(row.brew_id, []).append(row)
    return found


@cache
def _of_brews() -> Select[*tuple[Any, ...]]:
    return (
        select(*TASTING_COLUMNS)
        .join(Taster, Taster.id == Tasting.taster_id)
        .where(Tasting.brew_id.in_(bindparam("ids", expanding=True)), Tasting.binned_at.is_(None))
        .order_by(Tasting.brew_id, Tasting.tasted_at, Tasting.id)
    )


def mean_liking(owner: type[Brew]) -> ColumnElement[float | None]:
    """A column: the mean liking of `owner`'s tastings, tastings in the bin left out."""
    return (
        select(cast(func.avg(Tasting.liking), Float))
        .where(Tasting.brew_id == owner.id, Tasting.binned_at.is_(None))
        .correlate(owner)
        .scalar_subquery()
    )


def tasters(session: Session, also: int | None = None) -> list[tuple[int, str]]:
    """Tasters to pick from by name, and `also` even if it is in the bin."""
    wanted = Taster.binned_at.is_(None) | (Taster.id == also)
    query = select(Taster.id, Taster.name).where(wanted).order_by(Taster.name, Taster.id)
    return [(row.id, row.name) for row in session.execute(query)]


def likely_taster(session: Session, have_tasted: Iterable[int]) -> int | None:
    """Who tasted last, by what was entered last; of the latest, one not in `have_tasted` first."""
    latest = (
        select(Tasting.taster_id)
        .join(Taster, Taster.id == Tasting.taster_id)
        .where(Tasting.binned_at.is_(None), Taster.binned_at.is_(None))
        .order_by(Tasting.id.desc())
        .limit(LOOK_BACK)
    )
    in_turn = list(dict.fromkeys(session.scalars(latest)))
    done = set(have_tasted)
    waiting = [taster_id for taster_id in in_turn if taster_id not in done]
    return next(iter(waiting or in_turn), None)
