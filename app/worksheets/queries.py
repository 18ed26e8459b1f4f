"""What the worksheets read."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from sqlalchemy import ColumnElement, null, select
from sqlalchemy.orm import Session

from app.journal.alike import alike_ids
from app.journal.estimates import ESTIMATE_COLUMNS
from app.journal.lessons import MeasuredRow
from app.journal.recipes import is_latest
from app.journal.rows import columns_of, row_as, rows_as, split_rows
from app.models import (
    Bag,
    Bean,
    Brew,
    Brewer,
    Filter,
    FilterPack,
    FilterUse,
    Recipe,
    RecipeRevision,
)

RECIPES_OFFERED = 30
BREWS_OFFERED = 20
PACKS_OFFERED = 8
MOST_MEASURED = 120
MOST_CUPS_A_DAY = 60


class StartRow(NamedTuple):
    """A brew, or the latest revision of a recipe, to start from."""

    id: int
    name: str
    brewed_on: date | None
    dose_g: float
    water_g: float
    bypass_g: float
    ice_g: float


class BagFacts(NamedTuple):
    """Price, net weight and kind of beans of a bag, by the name of its bean."""

    price_minor: int | None
    currency: str
    net_g: float | None
    name: str
    robusta_pct: float
    decaf: bool


class CaffeineRow(NamedTuple):
    """What the caffeine of a brew depends on besides its estimate."""

    id: int
    brewed_at: datetime
    brewed_on: date
    name: str
    robusta_pct: float
    decaf: bool


class MeasuredBrew(NamedTuple):
    """How a table names a measured brew."""

    id: int
    brewed_on: date
    brewer_name: str


# With what the estimate of each needs.
CaffeineRows = list[tuple[CaffeineRow, MeasuredRow]]
MeasuredBrews = list[tuple[MeasuredBrew, MeasuredRow]]


def to_start_from(session: Session) -> dict[str, list[StartRow]]:
    """The latest revisions of recipes, and brews by the names of their beans, newest first."""
    recipes = (
        select(*columns_of(StartRow, RecipeRevision, name=Recipe.name, brewed_on=null()))
        .join(Recipe, Recipe.id == RecipeRevision.recipe_id)
        .where(Recipe.binned_at.is_(None), is_latest())
        .order_by(RecipeRevision.made_at.desc(), RecipeRevision.id.desc())
        .limit(RECIPES_OFFERED)
    )
    brews = (
        select(*columns_of(StartRow, Brew, name=Bean.name))
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(BREWS_OFFERED)
    )
    return {
        "recipes": rows_as(StartRow, session, recipes),
        "brews": rows_as(StartRow, session, brews),
    }


def newest_brew(session: Session) -> int | None:
    query = select(Brew.id).where(Brew.binned_at.is_(None))
    return session.scalar(query.order_by(Brew.brewed_at.desc(), Brew.id.desc()).limit(1))


def brew_to_start_from(session: Session, brew_id: int) -> tuple[Brew, str] | None:
    """A brew and the name of its bean."""
    query = (
        select(Brew, Bean.name)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Brew.id == brew_id)
    )
    row = session.execute(query).one_or_none()
    return None if row is None else (row.Brew, row.name)


def latest_number(session: Session, recipe_id: int) -> tuple[int, int]:
    """Id and number of a recipe's newest revision."""
    query = select(RecipeRevision.id, RecipeRevision.number)
    query = query.where(RecipeRevision.recipe_id == recipe_id)
    row = session.execute(query.order_by(RecipeRevision.number.desc()).limit(1)).one()
    return row.id, row.number


def packs(session: Session) -> Sequence[FilterPack]:
    """Packs with a price, the newest first."""
    query = select(FilterPack).where(
        FilterPack.binned_at.is_(None), FilterPack.price_minor.is_not(None)
    )
    return session.scalars(query.order_by(FilterPack.id.desc()).limit(PACKS_OFFERED)).all()


def paper_pack_of(session: Session, brew_id: int) -> FilterPack | None:
    """The pack, if it has a price, of the paper that a brew went through."""
    query = (
        select(FilterPack)
        .join(Filter, Filter.pack_id == FilterPack.id)
        .join(FilterUse, FilterUse.filter_id == Filter.id)
        .where(FilterUse.brew_id == brew_id, FilterPack.material == "paper")
        .where(FilterPack.price_minor.is_not(None))
    )
    return session.scalars(query.order_by(FilterUse.position).limit(1)).first()


def bag_facts(session: Session, bag_id: int) -> BagFacts | None:
    bean = {"name": Bean.name, "robusta_pct": Bean.robusta_pct, "decaf": Bean.decaf}
    query = select(*columns_of(BagFacts, Bag, **bean)).join(Bean, Bean.id == Bag.bean_id)
    return row_as(BagFacts, session, query.where(Bag.id == bag_id))


def cups_since(session: Session, day: date) -> CaffeineRows:
    """Brews from the day before `day` on, oldest first, with what their caffeine depends on."""
    bean = {"name": Bean.name, "robusta_pct": Bean.robusta_pct, "decaf": Bean.decaf}
    query = (
        select(*columns_of(CaffeineRow, Brew, **bean), *ESTIMATE_COLUMNS)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .where(Brew.binned_at.is_(None), Brew.brewed_on >= day - timedelta(days=1))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(MOST_CUPS_A_DAY)
    )
    return split_rows(CaffeineRow, MeasuredRow, session, query)[::-1]


def measured_at(session: Session, brewer_id: int, grind: str) -> MeasuredBrews:
    """Measured and timed brews of a brewer and those alike to it at a grind, the newest of them."""
    of = (Brew.brewer_id.in_(alike_ids(brewer_id)), Brew.grind == grind, Brew.steep_s.is_not(None))
    return _newest_brews(session, MOST_MEASURED, Brew.tds_pct.is_not(None), *of)


def measured_brews(session: Session, most: int) -> MeasuredBrews:
    """Brews with a measured strength, newest first."""
    return _newest_brews(session, most, Brew.tds_pct.is_not(None))


def weighed_brews(session: Session, most: int) -> MeasuredBrews:
    """Brews weighed with nothing added to them, newest first."""
    alone = Brew.bypass_g == 0, Brew.ice_g == 0
    return _newest_brews(session, most, Brew.beverage_g.is_not(None), *alone)


def _newest_brews(session: Session, most: int, *of: ColumnElement[bool]) -> MeasuredBrews:
    query = (
        select(*columns_of(MeasuredBrew, Brew, brewer_name=Brewer.name), *ESTIMATE_COLUMNS)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .where(Brew.binned_at.is_(None), *of)
        .order_by(Brew.brewed_at.desc())
        .limit(most)
    )
    return split_rows(MeasuredBrew, MeasuredRow, session, query)
