"""What the first page and the bin show."""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from sqlalchemy import SQLColumnExpression, null, select
from sqlalchemy.orm import Session

from app.journal.on_hand import OnHand
from app.journal.rows import Query, rows_as
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
from app.models.base import Binned

SHOWN = 4
MOST_OF_A_KIND = 50

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


class BinnedRow(NamedTuple):
    id: int
    name: str
    day: date | None

    @property
    def title(self) -> str:
        return f"{self.name}, {self.day:%Y-%m-%d}" if self.day else self.name


def binned(session: Session) -> list[tuple[str, str, str, list[BinnedRow]]]:
    """By kind: title, the endpoint that restores a row, its argument's name, rows newest first."""
    bags = select(Bag.id, Bean.name, Bag.roasted_on.label("day"))
    tastings = _of_brew(Tasting).join(Tasting, Tasting.brew_id == Brew.id)
    pairs = _of_brew(SideBySide).join(SideBySide, SideBySide.brew_a_id == Brew.id)
    tests, asked = _called(BlindTest, BlindTest.title), _called(Question, Question.text)
    kinds: list[tuple[str, type[Binned], Query, str, str]] = [
        ("Brews", Brew, _of_brew(Brew), "brews.restore", "brew_id"),
        ("Tastings", Tasting, tastings, "tastings.restore", "tasting_id"),
        ("Side by sides", SideBySide, pairs, "side_by_side.restore", "saved_id"),
        ("Blind tests", BlindTest, tests, "blind.restore", "test_id"),
        ("Questions", Question, asked, "questions.restore", "question_id"),
        ("Bags", Bag, bags.join(Bean, Bean.id == Bag.bean_id), "bags.restore", "bag_id"),
        ("Recipes", Recipe, _named(Recipe), "recipes.restore", "recipe_id"),
        ("Packs of filters", FilterPack, _named(FilterPack), "filters.restore_pack", "pack_id"),
        ("Brewers", Brewer, _named(Brewer), "gear.restore_brewer", "brewer_id"),
        ("Grinders", Grinder, _named(Grinder), "gear.restore_grinder", "grinder_id"),
        ("Waters", Water, _named(Water), "gear.restore_water", "water_id"),
    ]
    found = []
    for title, model, query, endpoint, key in kinds:
        newest = query.where(model.binned_at.is_not(None)).order_by(model.binned_at.desc())
        rows = rows_as(BinnedRow, session, newest.limit(MOST_OF_A_KIND))
        if rows:
            found.append((title, endpoint, key, rows))
    return found


def _named(model: Named) -> Query:
    return _called(model, model.name)


def _called(
    model: Named | type[BlindTest] | type[Question], name: SQLColumnExpression[str]
) -> Query:
    return select(model.id, name.label("name"), null().label("day"))


def _of_brew(model: type[Brew] | type[Tasting] | type[SideBySide]) -> Query:
    """Named by the bean and the day of a brew; all but brews are still to be joined to it."""
    query = select(model.id, Bean.name, Brew.brewed_on.label("day")).select_from(Brew)
    return query.join(Bag, Bag.id == Brew.bag_id).join(Bean, Bean.id == Bag.bean_id)
