"""Brews under a question as the side by side knows them: settings, names, filters, scores."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import Any

from sqlalchemy import Select, bindparam, select
from sqlalchemy.orm import Session

from app.formats import Formats
from app.journal.bags import frozen_spans
from app.journal.estimates import learned
from app.journal.pairs.around import BREW_COLUMNS, with_settings
from app.journal.pairs.details import stacks_of
from app.journal.pairs.fairness import compare
from app.journal.pairs.pair import Pair, Side, sides_of
from app.journal.pairs.rows import lines
from app.journal.pairs.saved import NAME_COLUMNS
from app.models import Bag, Bean, Brew, Grinder, Recipe, RecipeRevision, Water


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
    stacks = stacks_of(session, [row.id for row in rows])
    spans = frozen_spans(session, {row.bag_id for row in rows})
    return sides_of(session, rows, stacks, spans)


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
