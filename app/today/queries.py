"""What the first page and the bin show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Row, Select, null, select
from sqlalchemy.orm import Session

from app.journal.uses import OnHand
from app.models import (
    Bag,
    Bean,
    BlindTest,
    Brew,
    Brewer,
    FilterPack,
    Grinder,
    Question,
    Recipe,
    SideBySide,
    Tasting,
    Water,
)

SHOWN = 4
MOST_OF_A_KIND = 50


def first_steps(session: Session) -> dict[str, bool]:
    """Which of the first steps are done in a journal without a brew."""
    asked: dict[str, Any] = {"bag": Bag, "brewer": Brewer, "pack": FilterPack}
    return {
        name: session.scalar(select(model.id).limit(1)) is not None for name, model in asked.items()
    }


def lying_damp(hand: Sequence[OnHand], day: date) -> list[OnHand]:
    """Papers in use that have lain a day or more since their last brew."""
    papers = [row for row in hand if row.material == "paper" and row.last_on]
    return [row for row in papers if row.last_on and (day - row.last_on).days >= 1]


@dataclass(frozen=True, slots=True)
class InBin:
    """A row in the bin and the endpoint that brings it back."""

    name: str
    binned_at: datetime
    endpoint: str
    key: str
    row_id: int


def binned(session: Session) -> dict[str, list[InBin]]:
    """What lies in the bin, by kind, newest first."""
    kinds: list[tuple[str, Any, str, str]] = [
        ("Brews", _brews(Brew), "brews.restore", "brew_id"),
        ("Tastings", _tastings(), "tastings.restore", "tasting_id"),
        ("Side by sides", _comparisons(), "side_by_side.restore", "saved_id"),
        ("Blind tests", _called(BlindTest, BlindTest.title), "blind.restore", "test_id"),
        ("Questions", _called(Question, Question.text), "questions.restore", "question_id"),
        ("Bags", _bags(), "bags.restore", "bag_id"),
        ("Recipes", _named(Recipe), "recipes.restore", "recipe_id"),
        ("Packs of filters", _named(FilterPack), "filters.restore_pack", "pack_id"),
        ("Brewers", _named(Brewer), "gear.restore_brewer", "brewer_id"),
        ("Grinders", _named(Grinder), "gear.restore_grinder", "grinder_id"),
        ("Waters", _named(Water), "gear.restore_water", "water_id"),
    ]
    found = {}
    for title, query, endpoint, key in kinds:
        rows = session.execute(query.limit(MOST_OF_A_KIND)).all()
        if rows:
            found[title] = [
                InBin(_title(row), row.binned_at, endpoint, key, row.id) for row in rows
            ]
    return found


def _title(row: Row[*tuple[Any, ...]]) -> str:
    return f"{row.name}, {row.day:%Y-%m-%d}" if row.day else str(row.name)


def _named(model: Any) -> Select[*tuple[Any, ...]]:
    return _called(model, model.name)


def _called(model: Any, name: Any) -> Select[*tuple[Any, ...]]:
    query = select(model.id, name.label("name"), null().label("day"), model.binned_at)
    return query.where(model.binned_at.is_not(None)).order_by(model.binned_at.desc())


def _bags() -> Select[*tuple[Any, ...]]:
    query = select(Bag.id, Bean.name, Bag.roasted_on.label("day"), Bag.binned_at)
    joined = query.join(Bean, Bean.id == Bag.bean_id)
    return joined.where(Bag.binned_at.is_not(None)).order_by(Bag.binned_at.desc())


def _brews(owner: Any) -> Select[*tuple[Any, ...]]:
    query = select(owner.id, Bean.name, Brew.brewed_on.label("day"), owner.binned_at)
    joined = query.select_from(Brew).join(Bag, Bag.id == Brew.bag_id)
    return (
        joined.join(Bean, Bean.id == Bag.bean_id)
        .where(owner.binned_at.is_not(None))
        .order_by(owner.binned_at.desc())
    )


def _tastings() -> Select[*tuple[Any, ...]]:
    return _brews(Tasting).join(Tasting, Tasting.brew_id == Brew.id)


def _comparisons() -> Select[*tuple[Any, ...]]:
    return _brews(SideBySide).join(SideBySide, SideBySide.brew_a_id == Brew.id)
