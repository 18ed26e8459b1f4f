"""The brews of a comparison: what was set for each, and what its page shows of it."""

from collections.abc import Iterable
from datetime import date, datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import bindparam, select
from sqlalchemy.orm import Session, aliased

from app.journal.lessons import MeasuredRow
from app.journal.rows import Query, columns_of, split_rows
from app.models import Bag, Bean, Brew, Brewer, Grinder, Recipe, RecipeRevision, Water


class BrewRow(NamedTuple):
    """What was set for a brew and what it gave; enough for a setup and an estimate."""

    id: int
    bag_id: int
    brewer_id: int
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
    press_effort: int | None
    flipped: bool
    stirs: int | None
    beverage_g: float | None
    tds_pct: float | None
    brix: float | None
    brewed_on: date
    revision_id: int | None
    kind: str
    recipe_id: int | None
    roasted_on: date | None

    @property
    def cup(self) -> MeasuredRow:
        return MeasuredRow(
            self.kind, self.dose_g, self.water_g, self.bypass_g, self.ice_g, self.water_temp_c,
            self.steep_s, self.press_s, self.grind, self.beverage_g, self.tds_pct,
            self.stirs, self.brix, self.first_brewer_id, self.grinder_id,
        )  # fmt: skip


class BrewDetails(NamedTuple):
    """What a page shows of a brew besides: when it was made, its note, and names.

    `first_brewer_name` names the brewer and all that are alike to it as one.
    """

    brewed_at: datetime
    zone: str
    binned_at: datetime | None
    note: str
    bean_name: str
    brewer_name: str
    first_brewer_name: str
    grinder_name: str | None
    water_name: str | None
    recipe_name: str | None
    revision_number: int | None


BREW_COLUMNS = columns_of(
    BrewRow, Brew, kind=Brewer.kind, first_brewer_id=Brewer.first_id,
    recipe_id=RecipeRevision.recipe_id, roasted_on=Bag.roasted_on,
)  # fmt: skip


def with_setup(query: Query) -> Query:
    """A query of brews, joined with what BREW_COLUMNS need."""
    return (
        query.join(Brewer, Brewer.id == Brew.brewer_id)
        .join(Bag, Bag.id == Brew.bag_id)
        .outerjoin(RecipeRevision, RecipeRevision.id == Brew.revision_id)
    )


def detailed_brews(
    session: Session, brew_ids: Iterable[int]
) -> dict[int, tuple[BrewRow, BrewDetails]]:
    """The brews by id, in the bin or not; those that do not exist are left out."""
    rows = split_rows(BrewRow, BrewDetails, session, _detailed(), {"ids": sorted(set(brew_ids))})
    return {row.id: (row, details) for row, details in rows}


@cache
def _detailed() -> Query:
    first = aliased(Brewer)
    details = columns_of(
        BrewDetails, Brew, bean_name=Bean.name, brewer_name=Brewer.name,
        first_brewer_name=first.name,
        grinder_name=Grinder.name, water_name=Water.name, recipe_name=Recipe.name,
        revision_number=RecipeRevision.number,
    )  # fmt: skip
    return (
        with_setup(select(*BREW_COLUMNS, *details))
        .join(Bean, Bean.id == Bag.bean_id)
        .join(first, first.id == Brewer.first_id)
        .outerjoin(Grinder, Grinder.id == Brew.grinder_id)
        .outerjoin(Water, Water.id == Brew.water_id)
        .outerjoin(Recipe, Recipe.id == RecipeRevision.recipe_id)
        .where(Brew.id.in_(bindparam("ids", expanding=True)))
    )
