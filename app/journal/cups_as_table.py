"""Brews as rows of a table: names, days of rest, all that was noted, strength and extraction."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields
from datetime import date, datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import bindparam, select
from sqlalchemy.orm import Session

from app.brewing.ranged import Ranged
from app.journal.as_table import Column, columns, in_batches, of_part
from app.journal.bags import frozen_spans
from app.journal.brews import ReadBrew, read_brews
from app.journal.rest import Rest, rest_on
from app.journal.rows import Query, columns_of, rows_as
from app.models import Bag, Bean, Brew, Brewer, Grinder, Recipe, RecipeRevision, Water
from app.models.brews import BrewValues

# What is noted of a brew besides what it points at, whose names stand in its line.
NOTED = [of.name for of in fields(BrewValues) if not of.name.endswith("_id")]


class Named(NamedTuple):
    """A brew with the names of what it was made from and with."""

    id: int
    brewed_at: datetime
    zone: str
    brewed_on: date
    bag_id: int
    bean: str
    roaster: str
    roasted_on: date | None
    brewer: str
    grinder: str | None
    water: str | None
    recipe: str | None
    revision: int | None


@dataclass(frozen=True, slots=True)
class TableCup:
    """A brew as a line of a table; `noted` are its values by the names of their columns."""

    named: Named
    noted: Mapping[str, object]
    read: ReadBrew
    rest: Rest | None

    @property
    def zone(self) -> str:
        return self.named.zone


def table_cups(session: Session, brew_ids: Iterable[int]) -> Iterator[TableCup]:
    """The brews in the order given, some hundred at a time."""
    for ids in in_batches(brew_ids):
        named = {row.id: row for row in rows_as(Named, session, _named(), {"ids": ids})}
        noted = {row[0]: dict(row._mapping) for row in session.execute(_noted(), {"ids": ids})}
        read = {brew.row.id: brew for brew in read_brews(session, ids)}
        frozen = frozen_spans(session, {row.bag_id for row in named.values()})
        for brew_id in ids:
            row = named[brew_id]
            rest = rest_on(row.brewed_on, row.roasted_on, frozen.get(row.bag_id, ()))
            yield TableCup(row, noted[brew_id], read[brew_id], rest)


def _named_of(cup: TableCup) -> Named:
    return cup.named


def _value(name: str) -> Column[TableCup]:
    return Column(name, lambda cup, _zone: cup.noted[name])


def _ranged(name: str) -> list[Column[TableCup]]:
    """An estimate and its range; the same names with the ends."""

    def end(which: str) -> Column[TableCup]:
        def of(cup: TableCup, _zone: str) -> object:
            found: Ranged | None = getattr(cup.read.estimate, name)
            return found and getattr(found, which)

        return Column(name if which == "value" else f"{name}_{which}", of)

    return [end(which) for which in Ranged._fields]


CUP_COLUMNS: list[Column[TableCup]] = [
    *of_part(_named_of, columns("brew", Named)),
    Column("rest_days", lambda cup, _zone: cup.rest and cup.rest.days),
    *(_value(name) for name in NOTED if name != "note"),
    Column("filters", lambda cup, _zone: [
        f"{use.name}, {use.material}, use {use.number}" for use in cup.read.stack
    ]),
    *_ranged("strength_pct"),
    *_ranged("extraction_pct"),
    Column("strength_measured", lambda cup, _zone: cup.read.estimate.measured),
    Column("mean_liking_1_to_9", lambda cup, _zone: cup.read.row.liking),
    _value("note"),
]  # fmt: skip


@cache
def _named() -> Query:
    names = {
        "bean": Bean.name, "roaster": Bean.roaster, "roasted_on": Bag.roasted_on,
        "brewer": Brewer.name, "grinder": Grinder.name, "water": Water.name,
        "recipe": Recipe.name, "revision": RecipeRevision.number,
    }  # fmt: skip
    return (
        select(*columns_of(Named, Brew, **names))
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .outerjoin(Grinder, Grinder.id == Brew.grinder_id)
        .outerjoin(Water, Water.id == Brew.water_id)
        .outerjoin(RecipeRevision, RecipeRevision.id == Brew.revision_id)
        .outerjoin(Recipe, Recipe.id == RecipeRevision.recipe_id)
        .where(Brew.id.in_(bindparam("ids", expanding=True)))
    )


@cache
def _noted() -> Query:
    noted = [getattr(Brew, name) for name in NOTED]
    return select(Brew.id, *noted).where(Brew.id.in_(bindparam("ids", expanding=True)))
