"""Every preference between two recipes, with what else differed between the two cups."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import bindparam, select
from sqlalchemy.orm import Session

from app.database import while_unchanged
from app.journal.bags import frozen_spans
from app.journal.pairs.brews import BREW_COLUMNS, BrewRow, with_setup
from app.journal.pairs.fairness import compare
from app.journal.pairs.pair import setup_of, with_stack
from app.journal.pairs.setup import LABELS, Setup
from app.journal.ranking.met import Met, blind_preferences, side_by_sides
from app.journal.recipes import is_latest
from app.journal.rows import Query, columns_of, rows_as
from app.journal.uses import uses_of_brews
from app.models import Bag, Bean, Brew, Recipe, RecipeRevision, Taster

# What a recipe says of a cup; a brewer belongs to it where both recipes name theirs.
OF_RECIPE = {
    "dose_g", "water_g", "bypass_g", "ice_g", "grind", "water_temp_c", "steep_s", "press_s",
    "stirs", "flipped", "steps",
}  # fmt: skip


class RecipeRow(NamedTuple):
    """A recipe and its latest revision; one in the bin cannot be brewed."""

    id: int
    name: str
    revision_id: int
    in_bin: bool


@dataclass(frozen=True, slots=True)
class Preferred:
    """A preference between two recipes (`winner` and `loser`; neither was preferred if `tie`).

    `beside` is what else differed, by its names, beyond what a recipe says. `bag_id` where both
    cups are known to come from it.
    """

    look: str
    winner: int
    loser: int
    tie: bool
    blind: bool
    taster_id: int | None
    bag_id: int | None
    beside: tuple[str, ...]
    revisions: tuple[tuple[int, int], tuple[int, int]]  # recipe and revision of each cup


@dataclass(frozen=True, slots=True)
class Preferences:
    """All of them, with the names of what they speak of."""

    rows: tuple[Preferred, ...]
    recipes: Mapping[int, RecipeRow]
    bags: Mapping[int, str]
    tasters: Mapping[int, str]


def preferences(session: Session, now: datetime) -> Preferences:
    """As of `now` or the last change (time alone only makes an answer wait no longer for its mark);
    what they say is worked out once for as long as nothing changes."""
    rows = while_unchanged(session, "preferences of recipes", lambda: _read(session, now))
    return Preferences(
        rows,
        _recipes(session, {n for row in rows for n in (row.winner, row.loser)}),
        _bags(session, {row.bag_id for row in rows if row.bag_id}),
        _tasters(session, {row.taster_id for row in rows if row.taster_id}),
    )


def _read(session: Session, now: datetime) -> tuple[Preferred, ...]:
    met = [*side_by_sides(session), *blind_preferences(session, now)]
    setups = _setups(session, {n for one in met if one.brews for n in one.brews})
    return tuple(_preferred(one, setups) for one in met)


def _preferred(met: Met, setups: Mapping[int, Setup]) -> Preferred:
    first, second = (met.b, met.a) if met.preferred == "B" else (met.a, met.b)
    a, b = (setups.get(n) for n in met.brews or (0, 0))
    beside = ["filter"] if met.filters_differ else []
    if a and b:
        of_recipe = OF_RECIPE | (
            {"first_brewer_id"} if met.a.brewer_id and met.b.brewer_id else set()
        )
        states = compare(a, b).states
        beside = [
            LABELS[name]
            for name, state in states.items()
            if state == "differs" and name not in of_recipe
        ]
    return Preferred(
        met.look,
        first.recipe_id,
        second.recipe_id,
        met.preferred is None,
        met.blind,
        met.taster_id,
        a.bag_id if a and b and a.bag_id == b.bag_id else None,
        tuple(beside),
        (first[:2], second[:2]),
    )


def _setups(session: Session, brew_ids: Iterable[int]) -> dict[int, Setup]:
    rows = rows_as(BrewRow, session, _brews(), {"ids": sorted(brew_ids)})
    spans = frozen_spans(session, {row.bag_id for row in rows})
    stacks = uses_of_brews(session, [row.id for row in rows])
    return {
        row.id: with_stack(setup_of(row, spans.get(row.bag_id, ())), stacks.get(row.id, ()))
        for row in rows
    }


@cache
def _brews() -> Query:
    return with_setup(select(*BREW_COLUMNS)).where(Brew.id.in_(bindparam("ids", expanding=True)))


def _recipes(session: Session, ids: Iterable[int]) -> dict[int, RecipeRow]:
    named = {
        "id": Recipe.id,
        "name": Recipe.name,
        "revision_id": RecipeRevision.id,
        "in_bin": Recipe.binned_at.is_not(None),
    }
    query = (
        select(*columns_of(RecipeRow, RecipeRevision, **named))
        .join(Recipe, Recipe.id == RecipeRevision.recipe_id)
        .where(Recipe.id.in_(list(ids)), is_latest())
    )
    return {row.id: row for row in rows_as(RecipeRow, session, query)}


def _bags(session: Session, ids: Iterable[int]) -> dict[int, str]:
    query = select(Bag.id, Bean.name).join(Bean, Bean.id == Bag.bean_id)
    rows = session.execute(query.where(Bag.id.in_(list(ids))).order_by(Bag.id.desc()))
    return {row.id: row.name for row in rows}


def _tasters(session: Session, ids: Iterable[int]) -> dict[int, str]:
    query = select(Taster.id, Taster.name).where(Taster.id.in_(list(ids))).order_by(Taster.name)
    return {row.id: row.name for row in session.execute(query)}
