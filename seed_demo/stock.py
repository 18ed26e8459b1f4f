"""The rows that exist before the first brew: gear, beans, packs, recipes, tasters."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from app.models import (
    Bean,
    Brewer,
    FilterPack,
    Grinder,
    Recipe,
    RecipeRevision,
    Step,
    Taster,
    Water,
)
from seed_demo.household import ALIKE, BEANS, BREWERS, CURRENCY, GRINDERS, PACKS, WATERS, ZONE
from seed_demo.palate import PALATES
from seed_demo.recipes import RECIPES, DemoRecipe, Revision


@dataclass(frozen=True, slots=True)
class Stock:
    """Rows by the short names of the tables in household.py and recipes.py."""

    beans: dict[str, Bean]
    brewers: dict[str, Brewer]
    grinders: dict[str, Grinder]
    waters: dict[str, Water]
    packs: dict[str, FilterPack]
    recipes: dict[str, Recipe]
    tasters: dict[str, Taster]


def add_stock(session: Session, first_day: date) -> Stock:
    """Add all of it to the session and flush, so that it has ids."""
    brewers = {key: Brewer(**values) for key, values in BREWERS.items()}
    session.add_all(brewers.values())
    session.flush()
    first, *others = (brewers[key].id for key in ALIKE)
    for other in others:
        session.get_one(Brewer, other).alike_to_id = first
    stock = Stock(
        beans={key: Bean(**values) for key, values in BEANS.items()},
        brewers=brewers,
        grinders={key: Grinder(**values) for key, values in GRINDERS.items()},
        waters={key: Water(**values) for key, values in WATERS.items()},
        packs={key: _pack(values, first_day) for key, values in PACKS.items()},
        recipes={
            key: _recipe(one, brewers[one.brewer].id, first_day) for key, one in RECIPES.items()
        },
        tasters={name: Taster(name=name) for name in PALATES},
    )
    for family in (stock.beans, stock.grinders, stock.waters, stock.packs, stock.recipes):
        session.add_all(family.values())
    session.add_all(stock.tasters.values())
    session.flush()
    return stock


def _pack(values: dict[str, Any], first_day: date) -> FilterPack:
    columns = {key: value for key, value in values.items() if key != "bought"}
    bought_on = first_day + timedelta(days=values["bought"])
    return FilterPack(bought_on=bought_on, currency=CURRENCY, **columns)


def _recipe(written: DemoRecipe, brewer_id: int, first_day: date) -> Recipe:
    revisions = [
        _revision(number, one, first_day) for number, one in enumerate(written.revisions, start=1)
    ]
    for revision in revisions:
        revision.brewer_id = brewer_id
    return Recipe(name=written.name, note=written.note, revisions=revisions)


def _revision(number: int, one: Revision, first_day: date) -> RecipeRevision:
    evening = datetime.combine(
        first_day + timedelta(days=one.from_day - 1), time(20, 30), ZoneInfo(ZONE)
    )
    steps = [
        Step(position=place, kind=kind, starts_s=starts_s, lasts_s=lasts_s, grams=grams, note=note)
        for place, (kind, starts_s, lasts_s, grams, note) in enumerate(one.steps, start=1)
    ]
    return RecipeRevision(number=number, made_at=evening, why=one.why, steps=steps, **one.values)
