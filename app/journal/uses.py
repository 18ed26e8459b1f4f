"""Which use of its filter a brew was. Uses are counted in order of the brews' times, not stored,
so that a brew entered late, moved or deleted renumbers the later ones."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cache
from operator import attrgetter
from typing import NamedTuple, TypeVar

from sqlalchemy import (
    ColumnElement,
    FunctionElement,
    Over,
    Select,
    bindparam,
    func,
    literal,
    select,
    tuple_,
)
from sqlalchemy.orm import InstrumentedAttribute, Session, aliased

from app.journal.rows import Query, rows_as
from app.models import Brew, Filter, FilterPack, FilterUse
from app.models.base import Moment

T = TypeVar("T")
PAPER_CAUTION = (
    "Using a paper once is the safe default: no authority's rule on reusing damp paper was found. "
    "Rinse and dry a reused one, throw damp paper away the same day, and never use one that "
    "smells or is spotted."
)
EVER = literal(datetime(1, 1, 2, tzinfo=UTC), Moment)


@dataclass(frozen=True, slots=True)
class Use:
    """One filter in one brew; `number` 1 is its first use, `gap_days` the days since the last."""

    filter_id: int
    position: int
    number: int
    gap_days: int | None
    pack_id: int
    pack_name: str
    filter_number: int
    material: str
    retired_on: date | None

    @property
    def name(self) -> str:
        return f"{self.pack_name} no. {self.filter_number}"

    @property
    def wears(self) -> bool:
        """Metal is taken not to change from use to use."""
        return self.material != "metal"


def _in_the_bin() -> Select[int]:
    """They are few and listed once a statement, so that many uses are counted within an index."""
    return select(Brew.id).where(Brew.binned_at.is_not(None))


class _UseRow(NamedTuple):
    """A use, with how many `steps` lie between it and the row before it of its filter."""

    brew_id: int
    filter_id: int
    position: int
    brewed_at: datetime
    brewed_on: date
    last_on: date | None
    prior_uses: int
    filter_number: int
    retired_on: date | None
    pack_id: int
    pack_name: str
    material: str
    from_at: datetime | None
    from_id: int | None
    steps: int


def uses_of_brews(session: Session, brew_ids: Iterable[int]) -> dict[int, list[Use]]:
    """The stack of each brew, by brew id; brews without a filter are left out."""
    wanted = list(brew_ids)
    stacks: dict[int, list[Use]] = {}
    reached: dict[int, int] = {}
    for row in rows_as(_UseRow, session, _of_brews(), {"ids": wanted}) if wanted else ():
        before = reached.get(row.filter_id, row.prior_uses) + row.steps
        reached[row.filter_id] = before
        gap = (row.brewed_on - row.last_on).days if row.last_on else None
        use = Use(
            row.filter_id, row.position, before + 1, gap, row.pack_id, row.pack_name,
            row.filter_number, row.material, row.retired_on,
        )  # fmt: skip
        stacks.setdefault(row.brew_id, []).append(use)
    for stack in stacks.values():
        stack.sort(key=attrgetter("position"))
    return stacks


@cache
def _of_brews() -> Query:
    """Uses in the brews with these ids, oldest first; `steps` is how many uses of the filter lie
    between a row and the filter's row before it. So a filter used daily for years is counted once,
    not once a row. Created once: building a statement takes longer than running it."""
    shown = (
        select(
            FilterUse.brew_id, FilterUse.filter_id, FilterUse.position, FilterUse.brewed_at,
            Brew.brewed_on, _day_of_use_before(FilterUse).label("last_on"), Filter.prior_uses,
            Filter.number.label("filter_number"), Filter.retired_on, Filter.pack_id,
            FilterPack.name.label("pack_name"), FilterPack.material,
            _in_turn(func.lag(FilterUse.brewed_at)).label("from_at"),
            _in_turn(func.lag(FilterUse.brew_id)).label("from_id"),
        )
        .join(Brew, Brew.id == FilterUse.brew_id)
        .join(Filter, Filter.id == FilterUse.filter_id)
        .join(FilterPack, FilterPack.id == Filter.pack_id)
        .where(FilterUse.brew_id.in_(bindparam("ids", expanding=True)))
        .cte("shown")
    )  # fmt: skip
    other = aliased(FilterUse)
    between = (
        select(func.count())
        .where(
            other.filter_id == shown.c.filter_id,
            tuple_(other.brewed_at, other.brew_id)
            >= tuple_(func.coalesce(shown.c.from_at, EVER), func.coalesce(shown.c.from_id, 0)),
            tuple_(other.brewed_at, other.brew_id) < tuple_(shown.c.brewed_at, shown.c.brew_id),
            other.brew_id.not_in(_in_the_bin()),
        )
        .correlate(shown)
        .scalar_subquery()
    )
    return select(shown, between.label("steps")).order_by(shown.c.brewed_at, shown.c.brew_id)


def _in_turn(value: FunctionElement[T]) -> Over[T]:
    order = (FilterUse.brewed_at, FilterUse.brew_id)
    return value.over(partition_by=FilterUse.filter_id, order_by=order)


def _day_of_use_before(target: type[FilterUse]) -> ColumnElement[date]:
    other = aliased(FilterUse)
    return _of_the_last(
        aliased(Brew).brewed_on,
        select(other.brew_id)
        .where(
            other.filter_id == target.filter_id,
            other.brew_id.not_in(_in_the_bin()),
            tuple_(other.brewed_at, other.brew_id) < tuple_(target.brewed_at, target.brew_id),
        )
        .order_by(other.brewed_at.desc(), other.brew_id.desc())
        .correlate(target),
    )


def last_use(column: InstrumentedAttribute[T]) -> ColumnElement[T]:
    """A column of the brew that a filter was last used in, those in the bin left out."""
    return _of_the_last(
        column,
        select(FilterUse.brew_id)
        .where(FilterUse.filter_id == Filter.id, FilterUse.brew_id.not_in(_in_the_bin()))
        .order_by(FilterUse.brewed_at.desc(), FilterUse.brew_id.desc())
        .correlate(Filter),
    )


def _of_the_last(column: InstrumentedAttribute[T], uses: Select[int]) -> ColumnElement[T]:
    """The use is found first and then its brew: if they were joined, PostgreSQL would begin with
    the brews wherever it has not counted yet how few are in the bin."""
    last = uses.limit(1).scalar_subquery()
    return select(column).where(column.class_.id == last).correlate(None).scalar_subquery()


def uses_of(owner: type[Filter]) -> ColumnElement[int]:
    """How often a filter was used, brews in the bin left out."""
    return (
        select(func.count())
        .where(FilterUse.filter_id == owner.id, FilterUse.brew_id.not_in(_in_the_bin()))
        .correlate(owner)
        .scalar_subquery()
    )
