"""What the first page and the bin show."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple

from sqlalchemy import Select, SQLColumnExpression, null, select
from sqlalchemy.orm import Session

from app.journal.on_hand import OnHand
from app.journal.rows import rows_as
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

Query = Select[*tuple[object, ...]]
Named = type[Recipe] | type[FilterPack] | type[Brewer] | type[Grinder] | type[Water]


def first_steps(session: Session) -> dict[str, bool]:
    """Which of the first steps are done in a journal without a brew."""
    ids = {"bag": Bag.id, "brewer": Brewer.id, "pack": FilterPack.id}
    return {
        name: session.scalar(select(row_id).limit(1)) is not None for name, row_id in ids.items()
    }


def papers_to_check(hand: Sequence[OnHand], day: date) -> list[OnHand]:
    """Papers in use that were last brewed with a day or more ago, and may be damp."""
    papers = [row for row in hand if row.material == "paper" and row.last_on]
    return [row for row in papers if row.last_on and (day - row.last_on).days >= 1]


@dataclass(frozen=True, slots=True)
class InBin:
    """A row in the bin, and the endpoint that restores it."""

    name: str
    binned_at: datetime
    endpoint: str
    key: str
    row_id: int


class BinnedRow(NamedTuple):
    id: int
    name: str
    day: date | None
    binned_at: datetime


def binned(session: Session) -> dict[str, list[InBin]]:
    """What is in the bin, by kind, newest first."""
    kinds: list[tuple[str, Query, str, str]] = [
        ("Brews", _of_brew(Brew), "brews.restore", "brew_id"),
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
        rows = rows_as(BinnedRow, session, query.limit(MOST_OF_A_KIND))
        if rows:
            found[title] = [
                InBin(_title(row), row.binned_at, endpoint, key, row.id) for row in rows
            ]
    return found


def _title(row: BinnedRow) -> str:
    return f"{row.name}, {row.day:%Y-%m-%d}" if row.day else row.name


def _named(model: Named) -> Query:
    return _called(model, model.name)


def _called(
    model: Named | type[BlindTest] | type[Question], name: SQLColumnExpression[str]
) -> Query:
    query: Query = select(model.id, name.label("name"), null().label("day"), model.binned_at)
    return query.where(model.binned_at.is_not(None)).order_by(model.binned_at.desc())


def _bags() -> Query:
    query = select(Bag.id, Bean.name, Bag.roasted_on.label("day"), Bag.binned_at)
    joined = query.join(Bean, Bean.id == Bag.bean_id)
    return joined.where(Bag.binned_at.is_not(None)).order_by(Bag.binned_at.desc())


def _of_brew(model: type[Brew] | type[Tasting] | type[SideBySide]) -> Query:
    """Named by the bean and the day of a brew; all but brews are still to be joined to it."""
    query: Query = select(model.id, Bean.name, Brew.brewed_on.label("day"), model.binned_at)
    joined = query.select_from(Brew).join(Bag, Bag.id == Brew.bag_id)
    return (
        joined.join(Bean, Bean.id == Bag.bean_id)
        .where(model.binned_at.is_not(None))
        .order_by(model.binned_at.desc())
    )


def _tastings() -> Query:
    return _of_brew(Tasting).join(Tasting, Tasting.brew_id == Brew.id)


def _comparisons() -> Query:
    return _of_brew(SideBySide).join(SideBySide, SideBySide.brew_a_id == Brew.id)
