"""Reads of brews that several pages show."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import ColumnElement, Select, bindparam, select
from sqlalchemy.orm import Session

from app.brewing.strength.estimate import Estimate
from app.formats import Formats
from app.journal.estimates import ESTIMATE_COLUMNS, estimate_of, learned
from app.journal.lessons import MeasuredRow
from app.journal.rows import Query, columns_of, split_rows
from app.journal.tastings import mean_liking
from app.journal.uses import Use, uses_of_brews
from app.models import Bag, Bean, Brew, Brewer, Recipe, RecipeRevision


class NamedBrew(NamedTuple):
    """A brew as one line of words names it."""

    id: int
    brewed_at: datetime
    zone: str
    dose_g: float
    water_g: float
    bean_name: str


@cache
def named_brews() -> Query:
    """Columns of `NamedBrew`. Created once: building a statement takes longer than running it."""
    return (
        select(*columns_of(NamedBrew, Brew, bean_name=Bean.name))
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
    )


def brew_in_words(row: NamedBrew, formats: Formats) -> str:
    """Its bean, when, and how much."""
    made = f"{formats.grams(row.dose_g)} in {formats.grams(row.water_g)}"
    return f"{row.bean_name}, {formats.moment(row.brewed_at, row.zone)}, {made}"


class BrewRow(NamedTuple):
    """A brew with the names a list shows."""

    id: int
    brewed_at: datetime
    brewed_on: date
    zone: str
    bag_id: int
    bean_name: str
    recipe_name: str | None
    liking: float | None


@dataclass(frozen=True, slots=True)
class ReadBrew:
    """A brew as lists show it: its row, what was brewed, its estimate, its stack of filters, and
    why nothing is learned from it (empty where something is, or where nothing was measured)."""

    row: BrewRow
    cup: MeasuredRow
    estimate: Estimate
    stack: list[Use]
    left_out: str = ""


@cache
def brew_rows() -> Query:
    """Which brews is settled beforehand, so that names are joined to a page's rows only."""
    columns = columns_of(
        BrewRow, Brew, bean_name=Bean.name, recipe_name=Recipe.name, liking=mean_liking(Brew)
    )
    return (
        select(*columns, *ESTIMATE_COLUMNS)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .outerjoin(RecipeRevision, RecipeRevision.id == Brew.revision_id)
        .outerjoin(Recipe, Recipe.id == RecipeRevision.recipe_id)
        .where(Brew.id.in_(bindparam("brew_ids", expanding=True)))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
    )


def read_brews(session: Session, brew_ids: Sequence[int]) -> list[ReadBrew]:
    """The brews with their estimates and filters, newest first, in the bin or not."""
    if not brew_ids:
        return []
    rows = split_rows(BrewRow, MeasuredRow, session, brew_rows(), {"brew_ids": brew_ids})
    stacks = uses_of_brews(session, brew_ids)
    known = learned(session)
    return [
        ReadBrew(
            row, cup, estimate_of(cup, known), stacks.get(row.id, []), known.left_out.get(cup, "")
        )
        for row, cup in rows
    ]


def newest_ids(session: Session, most: int, *of: ColumnElement[bool]) -> Sequence[int]:
    """The latest brews that `of` holds for, those in the bin left out."""
    query = _newest().where(*of) if of else _newest()
    return session.scalars(query, {"most": most}).all()


@cache
def _newest() -> Select[int]:
    query = select(Brew.id).where(Brew.binned_at.is_(None))
    return query.order_by(Brew.brewed_at.desc(), Brew.id.desc()).limit(bindparam("most"))


def last_brew_id(session: Session, *of: ColumnElement[bool]) -> int | None:
    """The newest brew that `of` holds for."""
    return next(iter(newest_ids(session, 1, *of)), None)
