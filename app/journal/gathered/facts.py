"""Brews as the rule of "tested within" takes them: what was set, no names."""

from collections.abc import Iterable
from datetime import date
from functools import cache
from typing import NamedTuple

from sqlalchemy import bindparam, select
from sqlalchemy.orm import Session

from app.brewing.within.facts import BrewFacts, FilterFacts
from app.journal.bags import frozen_spans
from app.journal.rest import rest_on
from app.journal.rows import Query, columns_of, rows_as
from app.journal.uses import Use, uses_of_brews
from app.models import Bag, Bean, Brew, Brewer, Water


class _Row(NamedTuple):
    """A brew; the fields that `BrewFacts` has too are named alike."""

    id: int
    bag_id: int
    bean_id: int
    process: str
    origin: str
    decaf: bool
    brewer_id: int
    first_brewer_id: int
    kind: str
    grinder_id: int | None
    grind: str
    grind_setting: str
    water_id: int | None
    hardness_mg_l: float | None
    dose_g: float
    water_g: float
    bypass_g: float
    ice_g: float
    water_temp_c: float | None
    steep_s: int | None
    press_s: int | None
    press_effort: int | None
    flipped: bool
    stirs: int | None
    revision_id: int | None
    brewed_on: date
    roasted_on: date | None


def read_facts(session: Session, brew_ids: Iterable[int]) -> dict[int, BrewFacts]:
    """The brews by id, in the bin or not, in three statements however many they are."""
    rows = rows_as(_Row, session, _rows(), {"ids": sorted(set(brew_ids))})
    frozen = frozen_spans(session, {row.bag_id for row in rows})
    stacks = uses_of_brews(session, [row.id for row in rows])
    facts = {}
    for row in rows:
        rest = rest_on(row.brewed_on, row.roasted_on, frozen.get(row.bag_id, ()))
        values = row._asdict()
        del values["brewed_on"], values["roasted_on"]
        facts[row.id] = BrewFacts(
            **values,
            rest_days=rest.days if rest else None,
            frozen_days=rest.frozen_days if rest else 0,
            filters=tuple(map(_filter, stacks.get(row.id, ()))),
        )
    return facts


def _filter(use: Use) -> FilterFacts:
    return FilterFacts(use.material, use.pack_id, use.number if use.wears else None)


@cache
def _rows() -> Query:
    columns = columns_of(
        _Row, Brew, bean_id=Bean.id, process=Bean.process, origin=Bean.origin, decaf=Bean.decaf,
        first_brewer_id=Brewer.first_id, kind=Brewer.kind, hardness_mg_l=Water.hardness_mg_l,
        roasted_on=Bag.roasted_on,
    )  # fmt: skip
    return (
        select(*columns)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .outerjoin(Water, Water.id == Brew.water_id)
        .where(Brew.id.in_(bindparam("ids", expanding=True)))
    )
