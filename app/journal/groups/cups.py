"""The scored cups of two groups, in a number of statements that stays the same."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import (
    ColumnElement,
    SQLColumnExpression,
    and_,
    bindparam,
    case,
    func,
    or_,
    select,
    true,
)
from sqlalchemy.orm import Session

from app.journal.groups.wanted import Condition, Wanted, conditions, scored, use_number
from app.journal.rows import Query, columns_of, rows_as
from app.journal.tastings import counted
from app.models import (
    Bag,
    Brew,
    Brewer,
    Filter,
    FilterPack,
    FilterUse,
    RecipeRevision,
    Taster,
    Tasting,
)

MOST_BREWS = 1000

Stack = tuple[tuple[str, int], ...]


class CupRow(NamedTuple):
    """One score, what was set for its brew, and in which of the groups it is."""

    id: int
    brew_id: int
    taster_id: int
    taster_name: str
    liking: int
    blind: bool
    in_a: int
    in_b: int
    brewed_at: datetime
    brewed_on: date
    zone: str
    bag_id: int
    roasted_on: date | None
    first_brewer_id: int
    grinder_id: int | None
    grind: str
    grind_setting: str
    dose_g: float
    water_g: float
    bypass_g: float
    ice_g: float
    water_id: int | None
    water_temp_c: float | None
    steep_s: int | None
    press_s: int | None
    stirs: int | None
    recipe_id: int | None
    use: int | None


@dataclass(frozen=True, slots=True)
class Cups:
    """The scored cups of the latest brews of either group, oldest first; `rows` are in one only.

    `in_both` were left out, since they fit both. `brews` is how many brews A and B have, scored or
    not, from the first of these on. `since` is the first day where older cups were left out.
    """

    rows: Sequence[CupRow]
    in_both: int
    brews: tuple[int, int]
    stacks: dict[int, Stack]
    since: date | None


def read_cups(session: Session, a: Wanted, b: Wanted, *, rest: bool = False) -> Cups:
    """Scored cups of the groups; those of the bin and after a reveal do not count.

    With `rest`, B is all that fits it and not A, and no cup fits both.
    """
    is_a, is_b = (and_(true(), *conditions(session, wanted)) for wanted in (a, b))
    found = rows_as(_Found, session, _newest(is_a & scored(a), is_b & scored(b)))
    newest, oldest = found[:MOST_BREWS], found[-1] if len(found) > MOST_BREWS else None
    ids = [row.id for row in newest]
    scores = rows_as(CupRow, session, _scores(is_a, is_b), {"ids": ids}) if ids else []
    rows = [_placed(row, a, b, rest=rest) for row in scores]
    one_only = [row for row in rows if row.in_a != row.in_b]
    return Cups(
        one_only,
        sum(row.in_a and row.in_b for row in rows),
        _brews(session, is_a, is_b, oldest, apart=a.taster != b.taster, rest=rest),
        stacks_of(session, ids),
        newest[-1].brewed_on if oldest else None,
    )


def _placed(row: CupRow, a: Wanted, b: Wanted, *, rest: bool) -> CupRow:
    """A score of another taster than a group asks for is not in it."""
    in_a = row.in_a if a.taster in (None, row.taster_id) else 0
    in_b = row.in_b if b.taster in (None, row.taster_id) else 0
    return row._replace(in_a=in_a, in_b=0 if rest and in_a else in_b)


class _Found(NamedTuple):
    id: int
    brewed_at: datetime
    brewed_on: date


def _newest(is_a: Condition, is_b: Condition) -> Query:
    """Without a join, so that the index on time is walked no further than needed."""
    query = select(*columns_of(_Found, Brew)).where(Brew.binned_at.is_(None), or_(is_a, is_b))
    return query.order_by(Brew.brewed_at.desc(), Brew.id.desc()).limit(MOST_BREWS + 1)


def _scores(is_a: Condition, is_b: Condition) -> Query:
    return scored_cups(_flag(is_a), _flag(is_b))


def scored_cups(
    in_a: ColumnElement[int], in_b: ColumnElement[int], *more: SQLColumnExpression[object]
) -> Query:
    """`CupRow`s of the brews `ids`, oldest first, and `more` columns of their tastings."""
    columns = columns_of(
        CupRow, Brew, id=Tasting.id, brew_id=Tasting.brew_id, taster_id=Tasting.taster_id,
        taster_name=Taster.name, liking=Tasting.liking, blind=Tasting.blind,
        in_a=in_a, in_b=in_b, roasted_on=Bag.roasted_on,
        first_brewer_id=Brewer.first_id, recipe_id=RecipeRevision.recipe_id, use=use_number(),
    )  # fmt: skip
    return (
        select(*columns, *more)
        .select_from(Brew)
        .join(Tasting, Tasting.brew_id == Brew.id)
        .join(Taster, Taster.id == Tasting.taster_id)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .outerjoin(RecipeRevision, RecipeRevision.id == Brew.revision_id)
        .where(
            Brew.id.in_(bindparam("ids", expanding=True)), *counted(), Tasting.liking.is_not(None)
        )
        .order_by(Brew.brewed_at, Brew.id, Tasting.id)
    )


def _flag(condition: Condition) -> ColumnElement[int]:
    return case((condition, 1), else_=0)


class _Counts(NamedTuple):
    of_a: int
    of_b: int


def _brews(
    session: Session,
    is_a: Condition,
    is_b: Condition,
    oldest: _Found | None,
    *,
    apart: bool,
    rest: bool,
) -> tuple[int, int]:
    """How many brews are in one group only, whoever tasted them; where the groups are told `apart`
    by their tasters, all brews of each."""
    in_a, in_b = _flag(is_a), _flag(is_b)
    of_a = in_a if apart or rest else in_a * (1 - in_b)
    of_b = in_b if apart else in_b * (1 - in_a)
    counts = {"of_a": of_a, "of_b": of_b}
    sums = {name: func.coalesce(func.sum(one), 0) for name, one in counts.items()}
    query = select(*columns_of(_Counts, Brew, **sums))
    query = query.select_from(Brew).where(Brew.binned_at.is_(None), or_(is_a, is_b))
    if oldest:
        query = query.where(Brew.brewed_at > oldest.brewed_at)
    (counted_so,) = rows_as(_Counts, session, query)
    return counted_so.of_a, counted_so.of_b


class _Used(NamedTuple):
    brew_id: int
    material: str
    pack_id: int


def stacks_of(session: Session, brew_ids: Iterable[int]) -> dict[int, Stack]:
    """The material and pack of each filter, by brew."""
    ids = sorted(set(brew_ids))
    stacks: dict[int, Stack] = {}
    for used in rows_as(_Used, session, _used(), {"ids": ids}) if ids else ():
        stacks[used.brew_id] = (*stacks.get(used.brew_id, ()), (used.material, used.pack_id))
    return stacks


@cache
def _used() -> Query:
    return (
        select(*columns_of(_Used, FilterUse, material=FilterPack.material, pack_id=Filter.pack_id))
        .join(Filter, Filter.id == FilterUse.filter_id)
        .join(FilterPack, FilterPack.id == Filter.pack_id)
        .where(FilterUse.brew_id.in_(bindparam("ids", expanding=True)))
        .order_by(FilterUse.brew_id, FilterUse.position)
    )
