"""Brews under a question as the side by side knows them: settings, names, filters, scores."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from functools import cache
from typing import Any

from sqlalchemy import Select, bindparam, select
from sqlalchemy.orm import Session

from ..bags.lists import frozen_spans
from ..bags.rest import rest_on
from ..brews.readings import learned, reading_of
from ..formats import Formats
from ..models import Bag, Bean, Brew, Grinder, Recipe, RecipeRevision, Water
from ..side_by_side.around import BREW_COLUMNS, SETTING_COLUMNS, with_settings
from ..side_by_side.details import stacks_of, steps_of
from ..side_by_side.fairness import compare
from ..side_by_side.pair import Pair, Side
from ..side_by_side.queries import NAME_COLUMNS
from ..side_by_side.rows import lines
from ..side_by_side.settings import Settings
from ..tastings.queries import tastings_of_brews

# Where days are counted from for a bag without a roast date; only their differences are used.
SOME_DAY = date(1970, 1, 1)


@cache
def _rows() -> Select[*tuple[Any, ...]]:
    return (
        with_settings(select(*BREW_COLUMNS, *NAME_COLUMNS))
        .join(Bean, Bean.id == Bag.bean_id)
        .outerjoin(Grinder, Grinder.id == Brew.grinder_id)
        .outerjoin(Water, Water.id == Brew.water_id)
        .outerjoin(Recipe, Recipe.id == RecipeRevision.recipe_id)
        .where(Brew.id.in_(bindparam("ids", expanding=True)))
    )


def read_sides(session: Session, brew_ids: Iterable[int]) -> dict[int, Side]:
    """The brews by id, in six statements however many they are."""
    rows = session.execute(_rows(), {"ids": sorted(set(brew_ids))}).all()
    ids = [row.id for row in rows]
    stacks, tastings = stacks_of(session, ids), tastings_of_brews(session, ids)
    spans = frozen_spans(session, {row.bag_id for row in rows})
    steps = steps_of(session, {row.revision_id for row in rows if row.revision_id})
    known = learned(session)
    sides = {}
    for row in rows:
        stack, frozen = stacks.get(row.id, []), spans.get(row.bag_id, [])
        rest = rest_on(row.brewed_on, row.roasted_on or SOME_DAY, frozen)
        settings = _settings(row, rest.days if rest else 0, stack, steps.get(row.revision_id, []))
        sides[row.id] = Side(
            row,
            stack,
            rest if row.roasted_on else None,
            reading_of(row, known),
            tastings.get(row.id, []),
            settings,
        )
    return sides


def _settings(row: Any, age_days: int, stack: list[Any], steps: list[Any]) -> Settings:
    """What was set for the brew, in the terms of the fair-test rule."""
    counted = [one.number for one in stack if one.number]
    values: tuple[Any, ...] = (*row[:SETTING_COLUMNS], age_days)
    return Settings(*values)._replace(
        stack=tuple((one.material, one.pack_id) for one in stack),
        use=max(counted, default=None),
        steps=tuple(
            (one.kind, one.starts_s, one.lasts_s, one.grams and round(one.grams / row.water_g, 2))
            for one in steps
        ),
    )


def set_beside(session: Session, a: Side, b: Side) -> Pair:
    """Two brews as a pair, without the brews around them."""
    fairness = compare(a.settings, b.settings)
    return Pair(a, b, fairness, [], (), {}, learned(session))


def texts_of(session: Session, side: Side, formats: Formats) -> dict[str, str]:
    """Every setting that was noted of a brew, as the side by side writes it, by its label."""
    _, noted = lines(set_beside(session, side, side), formats)
    return {line.label: line.a for line in noted}


def mean_liking(side: Side) -> float | None:
    """The mean of a brew's scores; None if nobody scored it."""
    scores = [row.liking for row in side.tastings if row.liking is not None]
    return sum(scores) / len(scores) if scores else None
