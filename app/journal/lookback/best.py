"""The best cups of the journal: each as one taster liked it, tasters never pooled."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from statistics import fmean
from typing import NamedTuple

from sqlalchemy import ColumnElement, bindparam, select
from sqlalchemy.orm import Session

from app.journal.rows import Query, columns_of, rows_as
from app.journal.tastings import counted
from app.models import Bag, Bean, Brew, Brewer, Recipe, RecipeRevision, Taster, Tasting

MOST_SHOWN = 30
MOST_LOOKED_AT = 90  # tastings, the best first


@dataclass(frozen=True, slots=True)
class Sought:
    """What the cups shown have in common; None is any. `brewer` stands for all alike to it."""

    taster: int | None = None
    brewer: int | None = None
    bean: int | None = None
    at_least: float | None = None
    at_most: float | None = None


class CupRow(NamedTuple):
    """A brew as its best tasting by one taster finds it."""

    brew_id: int
    taster_id: int
    taster_name: str
    liking: int
    brewed_on: date
    bag_id: int
    bean_name: str
    revision_id: int | None
    recipe_name: str | None
    brewer_name: str
    dose_g: float
    water_g: float


class _Score(NamedTuple):
    brew_id: int
    taster_id: int
    bag_id: int
    revision_id: int | None
    liking: int


class Best(NamedTuple):
    """A cup, its taster's mean liking of it over so many tastings, and that of its repeats: other
    brews from the same bag by the same revision of a recipe, as the same taster liked them."""

    cup: CupRow
    liking: float
    tastings: int
    repeats: int
    repeats_liking: float | None


def best_cups(session: Session, sought: Sought) -> list[Best]:
    """The best of those sought, the later tasted first where equal."""
    found = rows_as(CupRow, session, _best(sought))
    cups = {(row.brew_id, row.taster_id): row for row in reversed(found)}
    scores = _scores(session, found)
    own: dict[tuple[int, int], list[int]] = {}
    alike: dict[tuple[int, int, int | None], set[int]] = {}
    for score in scores:
        own.setdefault((score.brew_id, score.taster_id), []).append(score.liking)
        recipe = (score.taster_id, score.bag_id, score.revision_id)
        alike.setdefault(recipe, set()).add(score.brew_id)
    means = {key: fmean(own[key]) for key in cups}
    # A cup beyond those looked at was never liked more than the last of these.
    least = found[-1].liking if len(found) == MOST_LOOKED_AT else 0
    kept = [key for key in reversed(cups) if means[key] >= least]
    kept.sort(key=lambda key: -means[key])
    best = []
    for key in kept[:MOST_SHOWN]:
        cup = cups[key]
        brews = alike[(cup.taster_id, cup.bag_id, cup.revision_id)] if cup.revision_id else set()
        repeats = [fmean(own[(n, cup.taster_id)]) for n in brews - {cup.brew_id}]
        mean = fmean(repeats) if repeats else None
        best.append(Best(cup, means[key], len(own[key]), len(repeats), mean))
    return best


def _best(sought: Sought) -> Query:
    columns = columns_of(
        CupRow, Brew, brew_id=Tasting.brew_id, taster_id=Tasting.taster_id,
        taster_name=Taster.name, liking=Tasting.liking, bean_name=Bean.name,
        recipe_name=Recipe.name, brewer_name=Brewer.name,
    )  # fmt: skip
    return (
        select(*columns)
        .select_from(Tasting)
        .join(Brew, Brew.id == Tasting.brew_id)
        .join(Taster, Taster.id == Tasting.taster_id)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .outerjoin(RecipeRevision, RecipeRevision.id == Brew.revision_id)
        .outerjoin(Recipe, Recipe.id == RecipeRevision.recipe_id)
        .where(Brew.binned_at.is_(None), *counted(), Tasting.liking.is_not(None))
        .where(*_asked(sought))
        .order_by(Tasting.liking.desc(), Tasting.tasted_at.desc(), Tasting.id.desc())
        .limit(MOST_LOOKED_AT)
    )


def _asked(sought: Sought) -> list[ColumnElement[bool]]:
    pairs = (
        (sought.taster, Tasting.taster_id == sought.taster),
        (sought.brewer, Brewer.first_id == sought.brewer),
        (sought.bean, Bag.bean_id == sought.bean),
        (sought.at_least, Tasting.liking >= (sought.at_least or 0)),
        (sought.at_most, Tasting.liking <= (sought.at_most or 0)),
    )
    return [condition for value, condition in pairs if value is not None]


def _scores(session: Session, found: Sequence[CupRow]) -> list[_Score]:
    """All scores of these cups, and of others from their bags by their recipes."""
    if not found:
        return []
    values = {
        "ids": sorted({row.brew_id for row in found}),
        "bags": sorted({row.bag_id for row in found if row.revision_id}),
        "revisions": sorted({row.revision_id for row in found if row.revision_id}),
    }
    return rows_as(_Score, session, _scores_query(), values)


@cache
def _scores_query() -> Query:
    repeats = Brew.bag_id.in_(bindparam("bags", expanding=True)) & Brew.revision_id.in_(
        bindparam("revisions", expanding=True)
    )
    wanted = select(Brew.id).where(repeats, Brew.binned_at.is_(None))
    columns = columns_of(_Score, Tasting, bag_id=Brew.bag_id, revision_id=Brew.revision_id)
    return (
        select(*columns)
        .join(Brew, Brew.id == Tasting.brew_id)
        .where(
            Tasting.brew_id.in_(bindparam("ids", expanding=True)) | Tasting.brew_id.in_(wanted),
            *counted(),
            Tasting.liking.is_not(None),
        )
        .order_by(Tasting.id)
    )
