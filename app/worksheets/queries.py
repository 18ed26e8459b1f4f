"""What the worksheets read."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from sqlalchemy import null, select
from sqlalchemy.orm import Session

from app.journal.estimates import ESTIMATE_COLUMNS, MeasuredRow
from app.journal.recipes import is_latest
from app.journal.rows import Query, row_as, rows_as, split_rows
from app.models import Bag, Bean, Brew, Brewer, FilterPack, Recipe, RecipeRevision

RECIPES_OFFERED = 12
BREWS_OFFERED = 8
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


def recipes_to_start_from(session: Session) -> list[StartRow]:
    """The latest revisions of recipes, newest first."""
    query = (
        select(
            RecipeRevision.id,
            Recipe.name,
            null().label("brewed_on"),
            RecipeRevision.dose_g,
            RecipeRevision.water_g,
            RecipeRevision.bypass_g,
            RecipeRevision.ice_g,
        )
        .join(Recipe, Recipe.id == RecipeRevision.recipe_id)
        .where(Recipe.binned_at.is_(None), is_latest())
        .order_by(RecipeRevision.made_at.desc(), RecipeRevision.id.desc())
        .limit(RECIPES_OFFERED)
    )
    return rows_as(StartRow, session, query)


def brews_to_start_from(session: Session) -> list[StartRow]:
    """The latest brews by the names of their beans, newest first."""
    query = (
        select(
            Brew.id, Bean.name, Brew.brewed_on, Brew.dose_g, Brew.water_g, Brew.bypass_g, Brew.ice_g
        )
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(BREWS_OFFERED)
    )
    return rows_as(StartRow, session, query)


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
    query = (
        select(RecipeRevision.id, RecipeRevision.number)
        .where(RecipeRevision.recipe_id == recipe_id)
        .order_by(RecipeRevision.number.desc())
        .limit(1)
    )
    row = session.execute(query).one()
    return row.id, row.number


def packs(session: Session) -> Sequence[FilterPack]:
    """Packs with a price, the newest first."""
    query = select(FilterPack).where(
        FilterPack.binned_at.is_(None), FilterPack.price_minor.is_not(None)
    )
    return session.scalars(query.order_by(FilterPack.id.desc()).limit(BREWS_OFFERED)).all()


def bag_facts(session: Session, bag_id: int) -> BagFacts | None:
    query = (
        select(Bag.price_minor, Bag.currency, Bag.net_g, Bean.name, Bean.robusta_pct, Bean.decaf)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Bag.id == bag_id)
    )
    return row_as(BagFacts, session, query)


def cups_since(session: Session, day: date) -> CaffeineRows:
    """Brews from the day before `day` on, oldest first, with what their caffeine depends on."""
    query = (
        select(
            Brew.id,
            Brew.brewed_at,
            Brew.brewed_on,
            Bean.name,
            Bean.robusta_pct,
            Bean.decaf,
            *ESTIMATE_COLUMNS,
        )
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .where(Brew.binned_at.is_(None), Brew.brewed_on >= day - timedelta(days=1))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(MOST_CUPS_A_DAY)
    )
    return split_rows(CaffeineRow, MeasuredRow, session, query)[::-1]


def measured_at(session: Session, brewer_id: int, grind: str) -> MeasuredBrews:
    """Measured and timed brews of one brewer at a grind, the newest of them."""
    query = _measured().where(
        Brew.brewer_id == brewer_id, Brew.grind == grind, Brew.steep_s.is_not(None)
    )
    return split_rows(MeasuredBrew, MeasuredRow, session, query.limit(MOST_MEASURED))


def measured_brews(session: Session, most: int) -> MeasuredBrews:
    """Measured brews, newest first."""
    return split_rows(MeasuredBrew, MeasuredRow, session, _measured().limit(most))


def _measured() -> Query:
    return (
        select(Brew.id, Brew.brewed_on, Brewer.name.label("brewer_name"), *ESTIMATE_COLUMNS)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .where(Brew.tds_pct.is_not(None), Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc())
    )
