"""Reading two brews with their names, and saved comparisons."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from sqlalchemy import Integer, and_, bindparam, or_, select
from sqlalchemy.orm import Session, aliased

from app.journal.paging import Page, read_page
from app.journal.pairs.around import BREW_COLUMNS, Query, fetch, with_settings
from app.models import Bag, Bean, Brew, Brewer, Grinder, Recipe, RecipeRevision, SideBySide, Water

MOST_SAVED = 20

NAME_COLUMNS: tuple[Any, ...] = (
    Brew.brewed_at,
    Brew.zone,
    Brew.binned_at,
    Brew.note,
    Bean.name.label("bean_name"),
    Bean.roaster,
    Brewer.name.label("brewer_name"),
    Grinder.name.label("grinder_name"),
    Water.name.label("water_name"),
    Recipe.name.label("recipe_name"),
    RecipeRevision.number.label("revision_number"),
)


def two_brews(session: Session, a_id: int, b_id: int) -> dict[int, Any]:
    """Both brews by id with the names their page shows, in the bin or not."""
    return {row.id: row for row in fetch(session, _named(), {"ids": (a_id, b_id)})}


@cache
def _named() -> Query:
    return (
        with_settings(select(*BREW_COLUMNS, *NAME_COLUMNS))
        .join(Bean, Bean.id == Bag.bean_id)
        .outerjoin(Grinder, Grinder.id == Brew.grinder_id)
        .outerjoin(Water, Water.id == Brew.water_id)
        .outerjoin(Recipe, Recipe.id == RecipeRevision.recipe_id)
        .where(Brew.id.in_(bindparam("ids", expanding=True)))
    )


@cache
def _saved() -> Query:
    """Saved comparisons, not in the bin, with the names and times of both brews."""
    a, b, bag_a, bag_b = aliased(Brew), aliased(Brew), aliased(Bag), aliased(Bag)
    bean_a, bean_b = aliased(Bean), aliased(Bean)
    return (
        select(
            SideBySide.id,
            SideBySide.brew_a_id,
            SideBySide.brew_b_id,
            SideBySide.saved_at,
            SideBySide.preference,
            SideBySide.note,
            bean_a.name.label("bean_a"),
            bean_b.name.label("bean_b"),
            a.brewed_at.label("brewed_a"),
            b.brewed_at.label("brewed_b"),
            a.zone.label("zone_a"),
            b.zone.label("zone_b"),
        )
        .join(a, a.id == SideBySide.brew_a_id)
        .join(b, b.id == SideBySide.brew_b_id)
        .join(bag_a, bag_a.id == a.bag_id)
        .join(bag_b, bag_b.id == b.bag_id)
        .join(bean_a, bean_a.id == bag_a.bean_id)
        .join(bean_b, bean_b.id == bag_b.bean_id)
        .where(SideBySide.binned_at.is_(None))
    )


def saved_page(session: Session, args: Mapping[str, str]) -> Page[Any]:
    return read_page(
        lambda query: session.execute(query).all(),
        _saved(),
        SideBySide.saved_at,
        SideBySide.id,
        lambda row: (row.saved_at, row.id),
        args,
    )


def saved_with_brew(session: Session, brew_id: int) -> list[Any]:
    """Comparisons saved of a brew, newest first, with the names of both brews."""
    with_it = or_(SideBySide.brew_a_id == brew_id, SideBySide.brew_b_id == brew_id)
    return list(session.execute(_newest(_saved().where(with_it))))


def saved_of_pair(session: Session, a_id: int, b_id: int) -> Sequence[Any]:
    """Comparisons saved of these two, whichever way round, newest first."""
    return fetch(session, _of_pair(), {"one": a_id, "other": b_id})


@cache
def _of_pair() -> Query:
    one, other = bindparam("one", type_=Integer), bindparam("other", type_=Integer)
    this_way = and_(SideBySide.brew_a_id == one, SideBySide.brew_b_id == other)
    that_way = and_(SideBySide.brew_a_id == other, SideBySide.brew_b_id == one)
    return _newest(_saved().where(or_(this_way, that_way)))


def _newest(query: Query) -> Query:
    return query.order_by(SideBySide.saved_at.desc(), SideBySide.id.desc()).limit(MOST_SAVED)
